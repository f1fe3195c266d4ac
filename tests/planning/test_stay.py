"""Groups that stay, whatever has happened to the round that they stay from."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import apart, class_of_eight, hasty, record_of, together, with_plan

from grouper.model.noted import Absence
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.plan import plan_unit
from grouper.rules.referee import judge

FOURS = Activity("Game", size=4)
STAY = Activity("Again", "stay")


def fours_then_stay(line: str, *asked: Request) -> ClassRecord:
    """Eight who have been taught a lesson in fours, in these groups, and stay in them in the next."""
    taught = replace(with_plan(class_of_eight(FOURS), line), taught=frozenset({1}), requests=asked)
    return replace(taught, unit=Unit((Lesson(1, (FOURS,)), Lesson(2, (STAY,)))))


def test_groups_stay_as_they_were_taught() -> None:
    """The next lesson has the same groups, labels included."""
    planned = hasty(fours_then_stay("ana ben cem dia | eva fin gil hana"))
    assert planned.plan.rounds[1].groups == planned.plan.rounds[0].groups


def test_who_is_away_is_missing_from_their_group_only() -> None:
    """Ana away from the lesson that stays: her group is a three, the other one as it was."""
    record = replace(fours_then_stay("ana ben cem dia | eva fin gil hana"), absences=(Absence(2, "ana"),))
    assert hasty(record).plan.rounds[1].as_sets == {
        frozenset(("ben", "cem", "dia")),
        frozenset(("eva", "fin", "gil", "hana")),
    }


def test_request_in_the_lesson_that_stays_shapes_the_first() -> None:
    """Two apart in lesson 2 only are apart in lesson 1 already, as the groups stay."""
    record = record_of(class_of_eight(FOURS).roster, FOURS, requests=(apart("ana", "ben", 2, 2),))
    planned = hasty(replace(record, unit=Unit((Lesson(1, (FOURS,)), Lesson(2, (STAY,))))))
    assert ("ana", "ben") not in set(planned.plan.rounds[0].pairs)
    assert planned.plan.rounds[0].as_sets == planned.plan.rounds[1].as_sets


def test_groups_stay_in_the_sizes_that_were_taught() -> None:
    """A lesson in fours that ran in 5 and 3 stays in 5 and 3."""
    planned = hasty(fours_then_stay("ana ben cem dia eva | fin gil hana"))
    assert planned.plan.rounds[1].groups == planned.plan.rounds[0].groups


def test_request_that_came_after_the_taught_lesson_holds_in_the_next() -> None:
    """Ana and ben, taught in one group, are to be kept apart from now on: the plan keeps them apart."""
    record = fours_then_stay("ana ben cem dia | eva fin gil hana", apart("ana", "ben"))
    assert ("ana", "ben") not in set(hasty(record).plan.rounds[1].pairs)


@pytest.mark.parametrize("asked", [apart("ana", "ben"), together("ana", "ben")])
def test_who_comes_back_into_groups_that_stay_is_where_requests_hold(asked: Request) -> None:
    """Ana, away from lesson 1, comes into its groups in lesson 2: never to ben if apart, to ben if together."""
    teams = Activity("Game", groups=2)
    record = replace(class_of_eight(teams, requests=(asked,)), absences=(Absence(1, "ana"),))
    record = replace(record, unit=Unit((Lesson(1, (teams,)), Lesson(2, (STAY,)))))
    for seed in range(6):
        planned = plan_unit(record, seed=seed, effort="quick").record
        assert judge(problem_of(planned), planned.plan).accepted
