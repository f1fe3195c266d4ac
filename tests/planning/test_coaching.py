"""Coaching: gaps within the window, and turns as coach and in the trio shared out."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import comb
from random import Random

import pytest
from any_problem import any_plan
from builders import STRAND, class_of, pairs, quick, record_of, roster_of
from hypothesis import given
from hypothesis import strategies as st

from grouper.model.ledger import COACH, LEARNER, ledger_of
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.fairness import fairness_of
from grouper.planning.turns import with_roles


def coaching(rounds: int = 1, low: float | None = None, high: float | None = None, name: str = "Peer work") -> Activity:
    return Activity(name, "coaching", size=2, rounds=rounds, strand=STRAND, min_gap=low, max_gap=high)


def gaps(record: ClassRecord) -> list[float]:
    rating = {student.id: student.ratings[STRAND] for student in record.roster.students}
    groups = [group for round_ in record.plan.rounds for group in round_.groups]
    return [abs(rating[a] - rating[b]) for a, b in (group.members for group in groups if len(group.members) == 2)]


@pytest.mark.parametrize(("low", "high"), [(1, 2), (2, None), (None, 1), (2, 2)])
def test_every_pair_is_in_the_window(low: float | None, high: float | None) -> None:
    """Ten rated 1 to 5, two each, three rounds: every gap lies in the window."""
    record = record_of(roster_of(10, [1, 1, 2, 2, 3, 3, 4, 4, 5, 5]), coaching(3, low, high))
    if (low, high) == (2, 2):  # 2 and 4 make pairs of two and two, and 1, 3, 5 are one too many in the middle
        record = record_of(roster_of(8, [1, 1, 2, 2, 3, 3, 4, 4]), coaching(2, low, high))
    found = gaps(quick(record))
    assert min(found) >= (low or 0)
    assert max(found) <= (high or 9)


def test_halves_meet_without_repeats() -> None:
    """Five of 1 and five of 3 with a gap of 2: n / 2 = 5 rounds in which nobody meets twice."""
    found = quick(record_of(roster_of(10, [1] * 5 + [3] * 5), coaching(5, 2)))
    assert ledger_of(found.plan.rounds).repeats == 0
    assert set(gaps(found)) == {2}


def test_without_a_window_a_quarter_of_the_range_is_wished_for() -> None:
    """Eight rated 1 to 5 in one round: no pair is closer than 1, a quarter of 4."""
    assert min(gaps(quick(record_of(roster_of(8, [1, 1, 2, 2, 3, 3, 4, 5]), coaching(2))))) >= 1


def test_pairs_of_an_odd_class_are_in_the_window() -> None:
    """Only 1 and 2, and 2 and 3, are one step apart: either makes the pair, and the trio takes the rest."""
    assert gaps(quick(record_of(roster_of(5, (2, 1, 3, 10, 20)), coaching(1, 1, 1)))) == [1]


def coach_turns(record: ClassRecord) -> list[int]:
    turns = ledger_of(record.plan.rounds).coach_turns
    return sorted(turns[student.id] for student in record.roster.students)


@pytest.mark.parametrize(("people", "rounds"), [(8, 2), (8, 4), (10, 6), (12, 3)])
def test_coach_turns_differ_by_one_at_most(people: int, rounds: int) -> None:
    """In an even class each is coach in half of the rounds, whoever is the more able."""
    ratings = [1 + number % 5 for number in range(people)]
    turns = coach_turns(quick(record_of(roster_of(people, ratings), coaching(rounds))))
    assert sum(turns) == rounds * people // 2
    assert turns[-1] - turns[0] <= 1


def test_one_coach_in_each_group() -> None:
    """Every coaching group has one coach and learners, in the trio too; other activities have no roles."""
    planned = quick(record_of(roster_of(7, [1, 2, 3, 4, 5, 1, 2]), coaching(2), pairs()))
    for round_ in planned.plan.rounds:
        for group in round_.groups:
            wanted = [COACH, *[LEARNER] * (len(group.members) - 1)] if round_.key.activity == 1 else []
            assert sorted(group.roles) == wanted


@st.composite
def coached(draw: st.DrawFn) -> tuple[Problem, ClassRecord]:
    """Up to seven students in two lessons of coaching, the first of which may be taught, in groups at random."""
    people = draw(st.integers(2, 7))
    record = record_of(roster_of(people), coaching(draw(st.integers(1, 2))), lessons=2)
    chance = Random(draw(st.integers(0, 10**6)))
    problem = problem_of(record)
    record = replace(record, plan=with_roles(problem, any_plan(problem, chance)))
    record = replace(record, taught=frozenset({1} if draw(st.booleans()) else ()))
    problem = problem_of(record)
    return problem, replace(record, plan=any_plan(problem, chance))


@given(case=coached())
def test_no_choice_of_coaches_is_more_even(case: tuple[Problem, ClassRecord]) -> None:
    """Over every choice of a coach in each group, turns taught before included: the least sum of C(t, 2)."""
    problem, record = case
    open_groups = [g for r in record.plan.rounds if problem.by_key[r.key].fixed is None for g in r.groups]
    had = ledger_of(r for r in record.plan.rounds if problem.by_key[r.key].fixed is not None).coach_turns
    choices = product(*(group.members for group in open_groups if len(group.members) > 1))
    ids = [student.id for student in record.roster.students]
    least = min(sum(comb(had[s] + choice.count(s), 2) for s in ids) for choice in choices)
    turns = ledger_of(with_roles(problem, record.plan).rounds).coach_turns
    assert sum(comb(turns[s], 2) for s in ids) == least


@pytest.mark.parametrize(("people", "rounds"), [(9, 3), (9, 6), (15, 5)])
def test_trio_turns_differ_by_one_at_most(people: int, rounds: int) -> None:
    """Everybody's turn in the trio comes before anybody's second."""
    trio = fairness_of(quick(class_of(people, pairs(rounds)))).trio
    assert trio is not None
    assert sum(trio.by_student.values()) == 3 * rounds
    assert trio.most - trio.fewest <= 1


def test_new_partners_come_before_trio_turns() -> None:
    """Seven, two rounds: of the four beside the first trio two work together, and so cannot be in the next one.

    No repeat then means that somebody is in both trios.
    """
    planned = quick(class_of(7, pairs(2)))
    assert ledger_of(planned.plan.rounds).repeats == 0
    trio = fairness_of(planned).trio
    assert trio is not None
    assert trio.most == 2


def test_trio_turns_count_lessons_taught_before() -> None:
    """After a taught lesson those who were in its trio are not in the next two."""
    record = quick(class_of(9, pairs(), lessons=3))
    again = quick(replace(record, taught=frozenset({1})), seed=5)
    assert again.plan.rounds[0] == record.plan.rounds[0]
    trios = [set(group.members) for round_ in again.plan.rounds for group in round_.groups if len(group.members) == 3]
    assert len(set.union(*trios)) == 9


def test_pair_that_stays_keeps_its_coach_or_hands_on() -> None:
    """A pair that coaches and stays has each as coach once."""
    unit = Unit((Lesson(1, (coaching(), Activity("Again", "stay"))),))
    planned = quick(ClassRecord(roster_of(4, (1, 2, 3, 4)), unit))
    assert coach_turns(planned) == [1, 1, 1, 1]
