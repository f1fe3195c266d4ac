"""Fairness in plain words: the sentences of classes that can be counted on paper."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from grouper.faces.views.evidence import evidence_of, evidence_view
from grouper.faces.views.report_student import CareLine, attendance, care_lines
from grouper.faces.views.report_view import fairness_in_words, report_view, turns_in_words
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.fairness import fairness_of, hindsight
from grouper.planning.turns import Turns
from grouper.privacy.less import Clearing, cleared
from tests.builders import apart, class_of, pairs, repeats_of, with_plan
from tests.privacy.classes import invented_class

FOUR = ("s01 s02 | s03 s04", "s01 s03 | s02 s04", "s01 s04 | s02 s03")
"""All pairs of four, each once: three rounds without a repeat (counted on paper)."""


def four(*lines: str, taught: bool = True) -> ClassRecord:
    """Four students in pairs, a round for each line."""
    record = with_plan(class_of(4, pairs(len(lines))), *lines)
    return replace(record, taught=frozenset({1}) if taught else frozenset())


def words(record: ClassRecord, whole: bool = False) -> list[str]:
    return list(fairness_in_words(evidence_of(record, whole, prove=True), record))


def test_no_repeat_is_said_to_be_the_best() -> None:
    """Three rounds of four in pairs."""
    assert words(four(*FOUR)) == [
        "Everybody worked with 3 different classmates.",
        "Nobody worked with the same classmate twice. No plan can do better.",
    ]


def test_repeats_that_had_to_be() -> None:
    """Four rounds make 8 meetings of 6 pairs: 2 repeats at least."""
    said = words(four(*FOUR, FOUR[0]))
    assert said[1:3] == [
        "In these rounds there were 2 repeats. No plan could have done it with fewer.",
        "Repeats were shared out as evenly as any plan could have done.",
    ]
    assert said[3] == "The two who met most were in one group twice."


def test_repeats_beside_the_bound() -> None:
    """The same pairs in all of four rounds: 6 repeats, where 2 would have been enough."""
    assert words(four(*(FOUR[0],) * 4))[1] == "No plan could have done it with fewer than 2 repeats; there were 6."


def test_a_bound_of_none_is_not_called_a_proof() -> None:
    """The same pairs three times: 4 repeats, of which none had to be."""
    assert (
        words(four(*(FOUR[0],) * 3))[1] == "In these rounds there were 4 repeats. Whether any had to be is not known."
    )


def test_absences_are_told_apart_from_the_plan() -> None:
    """Planned without a repeat, mended on the day into one pair that had met."""
    record = four(*FOUR)
    mended = replace(record.plan.rounds[2], groups=record.plan.rounds[1].groups)
    there = words(replace(record, plan=record.plan.with_rounds({mended.key: mended})))
    assert there[-1] == (
        "As planned, with everybody there, it would have been 0 repeats; "
        "absences and changes on the day made it 2 more."
    )


def test_lessons_so_far_stand_beside_the_whole_unit() -> None:
    """Of two lessons the first is taught: the plan is for both."""
    record = with_plan(class_of(4, pairs(2), lessons=2), FOUR[0], FOUR[0], FOUR[1], FOUR[2])
    said = words(replace(record, taught=frozenset({1})))
    assert said[1] == "The plan is made for the whole unit, which has 2 repeats, and no plan can have fewer."
    assert said[2].startswith("2 of them were in the lessons so far. A plan for these lessons alone would have needed")


@pytest.mark.parametrize("seed", range(12))
def test_the_bound_takes_nothing_as_given_and_holds(seed: int) -> None:
    """Random rounds of four in pairs, all taught: never above max(0, 2 r - 6), which some plan reaches (on paper)."""
    draw = random.Random(seed)
    lines = [draw.choice(FOUR) for _ in range(draw.randint(1, 7))]
    record = four(*lines)
    least = max(0, 2 * len(lines) - 6)
    for prove in (False, True):
        assert hindsight(record, prove).repeats <= least <= repeats_of(record.plan.rounds)
        assert hindsight(record, prove) == hindsight(four(*lines, taught=False), prove)


def test_a_bound_that_takes_taught_rounds_as_given_says_nothing() -> None:
    """Why there is another one: with all rounds given, the repeats that there are look as if they had to be."""
    record = four(*(FOUR[0],) * 3)
    assert fairness_of(record).bounds.repeats == 4 and hindsight(record).repeats == 0


def test_the_bound_knows_who_was_kept_apart() -> None:
    """Four rounds of four, two kept apart: 8 meetings of 4 pairs, as the pair apart rules out the one beside it."""
    lines = (FOUR[1], FOUR[2], FOUR[1], FOUR[2])
    record = replace(with_plan(class_of(4, pairs(4), requests=[apart("s01", "s02")]), *lines), taught=frozenset({1}))
    assert hindsight(record).repeats >= 3
    assert hindsight(record).repeats <= repeats_of(record.plan.rounds) == 4


def test_turns_in_words() -> None:
    """None, the same for all, and a range."""
    assert turns_in_words(None, "coach", "rounds") == ""
    assert (
        turns_in_words(Turns(1, 1, {}), "coach", "rounds")
        == "Each student who was there for all rounds was coach once."
    )
    assert turns_in_words(Turns(0, 2, {}), "coach", "rounds").endswith("was coach 0 to 2 times.")


def test_for_whom_to_care() -> None:
    """On paper: in three rounds of five the same two meet each time; s05 is in the trio with them twice."""
    lines = ("s01 s02 s05 | s03 s04", "s01 s02 s05 | s03 s04", "s01 s02 | s03 s04 s05")
    record = replace(with_plan(class_of(5, pairs(3)), *lines), taught=frozenset({1}))
    assert list(care_lines(evidence_of(record, False))) == [
        CareLine("Student 05", "was in the group of three 3 times; others at most twice"),
        CareLine("Student 01 and Student 02", "were in one group 3 times, and no two met more often"),
        CareLine("Student 03 and Student 04", "were in one group 3 times, and no two met more often"),
    ]


def test_several_who_had_most_turns_are_told_in_one_line() -> None:
    """On paper: s05 and s01 are in the trio twice, s02 and s03 once, s04 never."""
    lines = ("s01 s02 s05 | s03 s04", "s01 s03 s05 | s02 s04")
    record = replace(with_plan(class_of(5, pairs(2)), *lines), taught=frozenset({1}))
    several = CareLine("Student 01 and Student 05", "were each in the group of three twice; others at most once")
    assert several in list(care_lines(evidence_of(record, False)))


def test_fewest_partners_are_named_with_the_middle_of_the_class() -> None:
    """s06 has one partner in two rounds of six, all others two."""
    lines = ("s01 s02 | s03 s04 | s05 s06", "s01 s03 | s02 s05 | s04")
    record = replace(with_plan(class_of(6, pairs(2)), *lines), taught=frozenset({1}))
    lines_ = list(care_lines(evidence_of(record, False)))
    assert (
        CareLine("Student 04 and Student 06", "worked with 1 different classmate, in the middle of the class it is 2")
        in lines_
    )


def test_nobody_is_named_where_nobody_stands_out() -> None:
    """All alike."""
    assert list(care_lines(evidence_of(four(*FOUR), False))) == []


def test_whoever_left_is_nobody_to_care_for(record: ClassRecord) -> None:
    """No line names a student who is not in the class any more."""
    gone = replace(record.roster.students[2], last_lesson=1)
    left = replace(record, roster=record.roster.with_student(gone))
    assert not any("Chloé" in line.who for line in care_lines(evidence_of(left, False)))


def test_page_and_report_tell_the_same(record: ClassRecord) -> None:
    """Both are made of one view; only in small classes the report proves a little more."""
    view = report_view(record, "7b")
    assert view.evidence == evidence_view(record, False)


def test_attendance_in_counts(record: ClassRecord) -> None:
    """Lesson 1 of 25: one away, one aside from the second round on, so there in part; lesson 2: one helps."""
    first, second = report_view(record, "7b").attendance
    assert first.counts == {"full": 23, "part": 1, "away": 1}
    assert second.counts == {"full": 24, "helped": 1}
    assert report_view(record).total == (
        "Attendance, each student counted in each lesson: "
        "47 took part throughout, 1 in part, 1 there to help and 1 away."
    )


def test_duty_turns(record: ClassRecord) -> None:
    """One game has a team on duty: its members have one turn, all others none."""
    lines = report_view(record).students
    team = record.plan.by_key[record.unit.keys[4]].groups[2].members
    assert {line.on_map.id for line in lines if line.duty} == set(team)
    assert "In games, each student's team was on duty 0 to 1 times." in report_view(record).turns


def test_after_a_purge_nobody_is_said_to_have_been_away() -> None:
    """One was away and one helped; once the file is cleared both were in no group, and that is all that is told."""
    record = invented_class()
    out = {a.student for a in record.absences if a.lesson == 1}
    assert out
    clean = cleared(record, Clearing(False, False))
    lesson = clean.lesson(1)
    counts = attendance(clean, clean.roster.students, [lesson])
    assert (counts["away"], counts["helped"]) == (0, 0) and counts["no_group"] > 0
    assert counts["no_group"] == sum(
        all(round_.group_of(student.id) is None for round_ in clean.plan.of_lesson(1))
        for student in clean.roster.students
    )
    report = report_view(clean, "7b")
    assert "away" not in report.total and "in no group" in report.total


def test_who_is_new_is_not_the_one_with_the_fewest_partners() -> None:
    """A newcomer of the last lesson has had one round: it is not they who are to be cared for, for want of time."""
    record = four(*FOUR)
    new = Student("new-1", "New", first_lesson=len(record.unit.lessons))
    last = record.plan.rounds[-1]
    group = replace(last.groups[0], members=(*last.groups[0].members, "new-1"), roles=())
    joined = replace(
        record,
        roster=record.roster.with_student(new),
        plan=record.plan.with_rounds({last.key: replace(last, groups=(group, *last.groups[1:]))}),
    )
    assert not any("New" in line.who for line in care_lines(evidence_of(joined, False)) if "classmate" in line.why)
