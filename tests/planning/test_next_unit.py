"""A new unit knows whom everybody worked with in the units before, the less the longer ago."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from builders import STRAND, apart, class_of, class_of_eight, groups, hasty, key, pairs, with_plan
from hypothesis import given
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.model.ledger import COACH, LEARNER, TERM_WEEKS, PastRound, earlier_of, ledger_of
from grouper.model.noted import Note
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.planning.attend import leave
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.ran import next_unit

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHERS = "ana cem | ben dia | eva gil | fin hana"
PAIRS = Unit((Lesson(1, (pairs(),)),))


def taught_once(line: str = FOUR_PAIRS) -> ClassRecord:
    return replace(with_plan(class_of_eight(pairs()), line), taught=frozenset({1}))


def past(unit: int, date: str = "", line: str = FOUR_PAIRS) -> PastRound:
    return PastRound(unit, RoundKey(1, 1, 1), date, "Passing", True, groups(line))


def met(one: str, other: str, *rounds: PastRound, start: str = "", half_life: float = 12.0) -> float:
    unit = Unit((Lesson(1, (pairs(),), start),))
    return earlier_of(rounds, unit, half_life).meetings.get((one, other), 0.0)


def test_a_meeting_counts_half_after_a_half_life() -> None:
    """By dates: 12 weeks ago a half, 24 a quarter, both together three quarters."""
    assert met("ana", "ben", past(1, "2031-01-06"), start="2031-03-31") == 0.5
    assert met("ana", "ben", past(1, "2030-10-14"), start="2031-03-31") == 0.25
    assert met("ana", "ben", past(1, "2030-10-14"), past(2, "2031-01-06"), start="2031-03-31") == 0.75


def test_without_dates_a_unit_counts_as_a_term() -> None:
    """The last unit is one term ago, the one before two."""
    assert TERM_WEEKS == 12.0
    assert met("ana", "ben", past(1), past(2), half_life=12.0) == 0.25 + 0.5
    assert met("ana", "ben", past(1), half_life=6.0) == 0.25


def test_no_half_life_no_memory() -> None:
    """With 0 weeks earlier units do not count."""
    assert met("ana", "ben", past(1), half_life=0.0) == 0.0


@given(st.integers(0, 500), st.floats(1, 100))
def test_the_weight_only_falls(weeks: int, half_life: float) -> None:
    """Never above 1, and less a week later."""
    unit = Unit((Lesson(1, (pairs(),), "2031-03-31"),))

    def weight(age: int) -> float:
        then = date(2031, 3, 31) - timedelta(weeks=age)
        return earlier_of([past(1, then.isoformat())], unit, half_life).meetings[("ana", "ben")]

    assert 1.0 >= weight(weeks) > weight(weeks + 1) >= 0.0 or weight(weeks) == 0.0


def test_what_ran_becomes_the_past_and_the_old_unit_goes() -> None:
    """Rounds taught, as they ran; requests for all lessons stay, and notes and absences end."""
    record = taught_once()
    record = replace(
        record,
        requests=(apart("ana", "hana"), apart("ben", "cem", 1, 1)),
        notes=(Note(1, 0, "went well"),),
        unit=Unit((Lesson(1, (pairs(),), "2031-01-06"), Lesson(2, (pairs(),)))),
    )
    begun = next_unit(record, PAIRS)
    assert begun.record.past == (past(1, "2031-01-06"),)
    assert begun.record.requests == (apart("ana", "hana"),)
    assert begun.record.notes == ()
    assert begun.record.taught == frozenset()
    assert begun.record.plan.rounds == ()


def test_who_has_left_stays_in_the_past_alone() -> None:
    """She belongs to no lesson of the new unit, and the past still names her."""
    record = replace(taught_once(), unit=Unit((Lesson(1, (pairs(),)), Lesson(2, (pairs(),)))))
    begun = next_unit(leave(record, "hana", 2).record, PAIRS).record
    assert not begun.roster.by_id["hana"].belongs_in(1)
    assert "hana" in begun.past[0].as_round.students
    planned = plan_unit(begun, settings=None, effort="quick").record
    assert "hana" not in planned.plan.rounds[0].students


def test_a_unit_that_has_not_begun_is_not_ended() -> None:
    """There is nothing to remember."""
    with pytest.raises(InputError, match="no lesson of this unit has been taught"):
        next_unit(with_plan(class_of_eight(pairs()), FOUR_PAIRS), PAIRS)


def test_units_are_numbered_on() -> None:
    """The past of two units stands side by side."""
    second = next_unit(taught_once(), PAIRS).record
    second = replace(with_plan(second, OTHERS), taught=frozenset({1}))
    assert [round_.unit for round_ in next_unit(second, PAIRS).record.past] == [1, 2]


@pytest.mark.parametrize("people", [24, 25])
def test_new_partners_over_two_units(people: int) -> None:
    """Six rounds in pairs, then six more: with the past known nobody meets a partner of the first unit again."""
    first = hasty(class_of(people, pairs(rounds=2), lessons=3))
    old = set(ledger_of(first.plan.rounds).meetings)
    begun = next_unit(replace(first, taught=frozenset({1, 2, 3})), first.unit).record
    known = ledger_of(plan_unit(begun, effort="quick").record.plan.rounds).meetings
    forgotten = replace(begun, settings=Settings(half_life=0.0))
    blind = ledger_of(hasty(forgotten).plan.rounds).meetings
    assert set(known) & old == set()
    assert set(blind) & old


def test_turns_of_the_last_unit_count() -> None:
    """Who was in the trio last term, or coach, is not the first again where others can be."""
    line = "s1 s2 s3 | s4 s5 | s6 s7 | s8 s9"
    rounds = tuple(PastRound(1, key(lesson), "", "Passing", True, groups(line)) for lesson in (1, 2))
    students = tuple(Student(f"s{place}", f"Student {place}") for place in range(1, 10))
    record = ClassRecord(Roster(students), PAIRS, past=rounds)
    assert record.earlier.trio == {"s1": 1, "s2": 1, "s3": 1}
    now = plan_unit(record, effort="quick").record.plan.rounds[0].groups
    (in_trio,) = [set(group.members) for group in now if len(group.members) == 3]
    assert not in_trio & {"s1", "s2", "s3"}


def test_coach_turns_of_the_last_unit_count() -> None:
    """Two who coached twice in the last unit learn first in this one."""
    pair = (Group("1", ("ana", "hana"), (COACH, LEARNER)),)
    coached = tuple(PastRound(1, key(lesson), "", "Help", True, pair) for lesson in (1, 2))
    activity = Activity("Help", "coaching", size=2, strand=STRAND, min_gap=4, max_gap=4)
    record = class_of_eight(activity)
    first, *_, last = record.roster.students
    record = replace(record, roster=replace(record.roster, students=(first, last)))
    without = plan_unit(record, effort="quick").record.plan.rounds[0].groups[0]
    with_past = plan_unit(replace(record, past=coached), effort="quick").record.plan.rounds[0].groups[0]
    assert without.role("ana") == COACH
    assert with_past.role("ana") == LEARNER


def test_fairness_is_that_of_the_unit_at_hand() -> None:
    """Repeats and bound are counted in this unit; the past steers who meets, and is no repeat of this unit."""
    begun = next_unit(taught_once(), PAIRS).record
    fairness = fairness_of(with_plan(begun, FOUR_PAIRS))
    assert (fairness.repeats, fairness.bounds.repeats) == (0, 0)
    assert fairness.met_in_earlier_units == 4
    assert fairness_of(with_plan(begun, OTHERS)).met_in_earlier_units == 0
    assert fairness_of(taught_once()).met_in_earlier_units is None
