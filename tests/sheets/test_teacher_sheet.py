"""The teacher's sheet has what the teacher needs at hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grouper.errors import InputError
from grouper.faces.sheets.pages import teacher_page
from grouper.faces.views.teacher_lesson import MetBefore, teacher_lesson_view
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

from .examples import every_aim, gallery
from .page_text import PageText


def eight() -> ClassRecord:
    """Eight students rated 1 to 8, two rounds of even teams of four and a round in pairs, all by hand."""
    students = tuple(Student(str(n), name, {"skill": float(n)}) for n, name in enumerate("ABCDEFGH", start=1))
    unit = Unit(
        (
            Lesson(1, (Activity("Game", aim="balanced", groups=2, strand="skill"),)),
            Lesson(2, (Activity("Game", aim="balanced", groups=2, strand="skill"), Activity("Pass", size=2))),
        )
    )
    first = (Group("1", tuple("1368")), Group("2", tuple("2457")))
    second = (Group("2", tuple("1278")), Group("1", tuple("3456")))
    pairs = tuple(Group(str(n), tuple(pair)) for n, pair in enumerate(("12", "34", "58", "67"), start=1))
    rounds = (Round(RoundKey(1, 1, 1), first), Round(RoundKey(2, 1, 1), second), Round(RoundKey(2, 2, 1), pairs))
    requests = (Request("together", "1", "2"), Request("apart", "7", "3"), Request("apart", "4", "8", last_lesson=1))
    return ClassRecord(Roster(students, ("skill",)), unit, requests, (), Plan(rounds))


def test_averages_and_spread_by_hand() -> None:
    """1 + 3 + 6 + 8 and 2 + 4 + 5 + 7 are both 18: averages 4.5, spread 0, allowed an eighth of 7."""
    first = teacher_lesson_view(eight(), 1).rounds[0]
    assert [group.average for group in first.groups] == [4.5, 4.5]
    assert (first.spread, first.allowed_spread) == (0.0, 0.875)
    assert [group.gap for group in first.groups] == [7.0, 5.0]


def test_who_met_before_by_hand() -> None:
    """In the second lesson's teams 1 and 8 meet again, 2 and 7, 4 and 5, 3 and 6; in pairs 1 and 2 do."""
    teams, pairs = teacher_lesson_view(eight(), 2).rounds
    assert [group.met_before for group in teams.groups] == [
        (MetBefore("C", "F", 1), MetBefore("D", "E", 1)),
        (MetBefore("A", "H", 1), MetBefore("B", "G", 1)),
    ]
    assert [group.met_before for group in pairs.groups] == [
        (MetBefore("A", "B", 1),),
        (MetBefore("C", "D", 1),),
        (),
        (),
    ]


def test_requests_that_hold_in_the_lesson_are_listed() -> None:
    """One ended with lesson 1."""
    lines = {lesson: teacher_lesson_view(eight(), lesson).requests for lesson in (1, 2)}
    assert [(line.kind, line.one, line.other) for line in lines[1]] == [
        ("apart", "C", "G"),
        ("apart", "D", "H"),
        ("together", "A", "B"),
    ]
    assert [(line.kind, line.one, line.other) for line in lines[2]] == [("apart", "C", "G"), ("together", "A", "B")]


def test_turns_before_count_earlier_lessons_alone() -> None:
    """Every trio of lesson 1 counts in lesson 2, and none of lesson 2's own."""
    record = every_aim()
    trios = [group for round_ in record.plan.of_lesson(1) for group in round_.groups if len(group.members) == 3]
    lines = teacher_lesson_view(record, 2).attendance
    assert sum(line.trio_turns for line in lines) == 3 * len(trios) == 9
    assert sum(line.coach_turns for line in lines) == 0
    assert all(line.trio_turns == 0 for line in teacher_lesson_view(record, 1).attendance)


def test_the_sheet_says_it_all() -> None:
    """Ratings, averages, spread, requests, turns, attendance, states, size bands and cautions are on paper."""
    page = PageText(teacher_page(teacher_lesson_view(every_aim(), 2)))
    text = " ".join(page.texts)
    for wanted in (
        *("Keep apart Amina from Ben", "Keep together Li with يوسف from lesson 2", "lessons 1 to 3"),
        *("averages differ by", "Trio turns before", "Coach turns before", "Size band", "missing"),
        *("aside : scorer", "away from round 4"),
        *("aside from round 2: sprained ankle (on the wall: helper)", "Met before, times", "trio", "coach", "7.5"),
        *("one coaches, one learns in passing, gap 1 or more", "even teams in fitness", "alike in passing"),
        *("Contact: Tag rugby, four a side", "Guessed from the name"),
    ):
        assert wanted.replace(" :", ":") in text.replace(" :", ":"), wanted
    assert page.classes("box") == 25


def test_the_class_list_is_alphabetical_and_complete() -> None:
    """A line for each student of the lesson, leavers and newcomers of other lessons left out."""
    record = eight()
    gone = replace(record.roster.students[0], last_lesson=1)
    record = replace(record, roster=record.roster.with_student(gone))
    view = teacher_lesson_view(replace(record, plan=Plan(record.plan.rounds[:1])), 1)
    assert [line.name for line in view.attendance] == list("ABCDEFGH")
    pairs = tuple(Group(str(n), tuple(pair)) for n, pair in enumerate(("234", "58", "67"), start=1))
    rounds = (record.plan.rounds[0], Round(RoundKey(2, 1, 1), pairs), Round(RoundKey(2, 2, 1), pairs))
    later = teacher_lesson_view(replace(record, plan=Plan(rounds)), 2)
    assert [line.name for line in later.attendance] == list("BCDEFGH")
    assert not any("A" in (line.one, line.other) for line in later.requests)


def test_a_rating_that_is_missing_is_a_dash_and_counts_as_the_median() -> None:
    """Without 8 the ratings left are 1 to 7 and the median is 4: the average of 1, 3, 6 and 4 is 3.5."""
    record = eight()
    record = replace(record, roster=record.roster.with_student(Student("8", "H")))
    group = teacher_lesson_view(record, 1).rounds[0].groups[0]
    assert [member.rating for member in group.members] == [1.0, 3.0, 6.0, None]
    assert group.average == 3.5


def test_every_example_makes_a_sound_page() -> None:
    """Every element that is opened is closed again."""
    for record, lesson in gallery().values():
        PageText(teacher_page(teacher_lesson_view(record, lesson)))


def test_a_lesson_without_groups_is_an_error_that_says_so() -> None:
    """There is nothing to show before the unit has been planned."""
    with pytest.raises(InputError, match="lesson 1 has no groups yet; plan the unit first"):
        teacher_lesson_view(replace(eight(), plan=Plan()), 1)
    with pytest.raises(InputError, match="no lesson 7"):
        teacher_lesson_view(eight(), 7)
