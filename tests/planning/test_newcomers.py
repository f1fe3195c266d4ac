"""Fair to those who were not there: newcomers and who comes back count as the middle of the class."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import STRAND, class_of, key, pairs, quick, record_of, roster_of

from grouper.model.ledger import COACH, PastRound, earlier_of, ledger_of
from grouper.model.noted import Absence
from grouper.model.plan import Group
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.ran import next_unit
from grouper.rules.turns import TRIO_TURNS

NEW = ("new-1", "new-2")


def with_newcomers(record: ClassRecord) -> ClassRecord:
    students = (*record.roster.students, *(Student(id_, id_, {STRAND: 3}) for id_ in NEW))
    return replace(record, roster=replace(record.roster, students=students))


def all_taught(record: ClassRecord) -> ClassRecord:
    return replace(record, taught=frozenset(lesson.number for lesson in record.unit.lessons))


def trio_turns(record: ClassRecord) -> dict[str, int]:
    groups = [group for round_ in record.plan.rounds for group in round_.groups if len(group.members) == 3]
    return {s.id: sum(s.id in group.members for group in groups) for s in record.roster.students}


def second_unit_of_25() -> ClassRecord:
    """Twenty-three had a unit of eight lessons with two rounds in pairs; two more are there in the second one."""
    first = all_taught(quick(class_of(23, pairs(2), lessons=8)))
    return quick(with_newcomers(next_unit(first, first.unit).record), seed=1)


def test_newcomers_take_as_many_turns_in_the_trio_as_the_others() -> None:
    """Of 48 turns of the second unit everybody has one, two or three; the newcomers are not among the most."""
    turns = trio_turns(second_unit_of_25())
    assert sum(turns.values()) == 48
    assert max(turns[new] for new in NEW) <= 2
    assert max(turns.values()) <= 3


def test_who_missed_most_of_a_unit_is_no_stopgap_in_the_next() -> None:
    """One of 25 was there in the first of eight lessons alone: in the second unit they have one to three turns."""
    record = class_of(25, pairs(2), lessons=8)
    away = replace(record.roster.by_id["s07"], last_lesson=1)
    first = all_taught(quick(replace(record, roster=record.roster.with_student(away))))
    back = first.roster.with_student(replace(away, last_lesson=None))
    second = quick(next_unit(replace(first, roster=back), first.unit).record, seed=1)
    assert 1 <= trio_turns(second)["s07"] <= 3


def test_newcomers_do_not_begin_as_coach_each_time() -> None:
    """In twelve coaching rounds of a second unit a newcomer begins as coach in five to seven."""
    ratings = [1 + place % 5 for place in range(22)]
    unit = record_of(roster_of(22, ratings), Activity("Help", "coaching", size=2, rounds=2, strand=STRAND), lessons=6)
    first = all_taught(quick(unit))
    second = quick(with_newcomers(next_unit(first, first.unit).record), seed=1)
    turns = ledger_of(second.plan.rounds).coach_turns
    assert all(5 <= turns[new] <= 7 for new in NEW)


def test_who_joins_in_the_middle_of_a_unit_has_half_of_the_turns() -> None:
    """Twenty-four, a newcomer from lesson 5 of 8 on with three rounds each: 36 turns among 25 in the odd half."""
    record = class_of(24, pairs(3), lessons=8)
    late = replace(record, roster=record.roster.with_student(Student("new-1", "New", first_lesson=5)))
    turns = trio_turns(quick(late))
    assert sum(turns.values()) == 36
    assert turns["new-1"] <= 2


def test_turns_are_counted_by_the_rounds_that_were_missed() -> None:
    """A round of five had one trio: who was not there is counted three fifths of a turn, and half of that by now."""
    unit = Unit((Lesson(1, (pairs(),)),))
    groups = (Group("1", ("a", "b", "c")), Group("2", ("d", "e")))
    past = PastRound(1, key(1), "", "Passing", True, groups)
    earlier = earlier_of([past], unit, 12.0, ("a", "d", "new"))
    assert earlier.trio == {"a": 0.5, "b": 0.5, "c": 0.5, "new": pytest.approx(0.3)}


def test_coach_turns_are_counted_by_the_rounds_that_were_missed() -> None:
    """One of two began as coach: who was not there is counted half a turn, and half of that by now."""
    unit = Unit((Lesson(1, (pairs(),)),))
    past = PastRound(1, key(1), "", "Help", True, (Group("1", ("a", "b"), (COACH, "learner")),))
    assert earlier_of([past], unit, 12.0, ("a", "b", "new")).coach == {"a": 0.5, "new": 0.25}


def test_meetings_of_who_was_not_there_are_those_of_the_middle_pair() -> None:
    """Three all met: a newcomer counts as having met each of them as often; where few met, as having met nobody."""
    unit = Unit((Lesson(1, (pairs(),)),))
    trio = PastRound(1, key(1), "", "Drill", False, (Group("1", ("a", "b", "c")),))
    assert earlier_of([trio], unit, 12.0, ("a", "b", "c", "d")).meetings[("a", "d")] == 0.5
    pair = PastRound(1, key(1), "", "Drill", False, (Group("1", ("a", "b")), Group("2", ("c", "e"))))
    assert ("a", "d") not in earlier_of([pair], unit, 12.0, ("a", "b", "c", "d", "e")).meetings


def test_who_was_away_for_a_day_is_counted_no_turn() -> None:
    """Of eight, one is away: each of the seven has three sevenths of a turn, which is none, and of three days one."""
    record = replace(class_of(8, pairs(), lessons=4), absences=(Absence(1, "s01"),))
    assert TRIO_TURNS.beforehand(problem_of(record)).get("s01", 0) == 0
    away = tuple(Absence(lesson, "s01") for lesson in (1, 2, 3))
    assert TRIO_TURNS.beforehand(problem_of(replace(record, absences=away))).get("s01", 0) == 1
