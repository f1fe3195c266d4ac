"""Bounds by exact cover: never above a plan that exists, and exact where brute force says so."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest

from grouper.engines import proof
from grouper.engines.proof import proven_bounds
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.fairness import fairness_of
from grouper.planning.mending import board_for
from grouper.planning.plan import plan_unit

pytestmark = pytest.mark.whole_search


def record_of(people: int, size: int, rounds: int, *apart: tuple[int, int]) -> ClassRecord:
    """So many students, one lesson a round, all fresh."""
    students = tuple(Student(f"{n}", f"Student {n}") for n in range(people))
    lessons = tuple(Lesson(n, (Activity("Game", size=size),)) for n in range(1, rounds + 1))
    requests = tuple(Request("apart", str(one), str(other)) for one, other in apart)
    return ClassRecord(Roster(students), Unit(lessons), requests)


def least_by_brute_force(people: int, size: int, rounds: int) -> int:
    """The least meeting cost over all schedules, round by round, the first round fixed (all first rounds are alike)."""
    partitions = sorted({tuple(sorted(_groups(order, size))) for order in permutations(range(people))})
    pairs = [frozenset((a, b) for g in part for a in g for b in g if a < b) for part in partitions]
    best: dict[tuple[int, ...], int] = {(0,): 0}
    for _ in range(rounds - 1):
        best = {
            (*chosen, n): cost + sum(len(pairs[n] & pairs[m]) for m in chosen)
            for chosen, cost in best.items()
            for n in range(chosen[-1], len(pairs))
        }
    return min(best.values())


def _groups(order: tuple[int, ...], size: int) -> list[tuple[int, ...]]:
    return [tuple(sorted(order[start : start + size])) for start in range(0, len(order), size)]


@pytest.mark.parametrize(("people", "size", "rounds"), [(6, 3, 2), (6, 3, 3), (6, 3, 4), (6, 2, 4), (4, 2, 5)])
def test_bound_of_a_small_class_is_what_brute_force_finds(people: int, size: int, rounds: int) -> None:
    """The bound is asked with a cost one above the least, so that it has to find the least itself."""
    board = board_for(problem_of(record_of(people, size, rounds)))
    least = least_by_brute_force(people, size, rounds)
    assert proven_bounds(board, least + 1).meeting_cost == least
    assert proven_bounds(board, least).meeting_cost == least


def test_a_proof_tells_how_far_it_is_and_may_be_stopped() -> None:
    """Bounds are told as they rise and none is above the least; who has heard enough ends it with what holds."""
    board = board_for(problem_of(record_of(6, 3, 4)))
    least, heard = least_by_brute_force(6, 3, 4), list[int]()
    bounds = proven_bounds(board, least + 1, 5.0, lambda bound: heard.append(bound) or True)
    assert bounds.meeting_cost == least
    assert heard == sorted(heard)
    assert all(bound <= least for bound in heard)
    assert proven_bounds(board, least + 1, 5.0, lambda bound: False).meeting_cost <= least


def test_what_was_proven_is_not_looked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same question is answered at once, another one anew: another cost, group, request, effort or past."""
    asked: list[int] = []
    least = proof._Model.least

    def heard(model: proof._Model, *effort: object) -> int:
        asked.append(model.reached)
        return least(model, *effort)  # type: ignore[arg-type]

    monkeypatch.setattr(proof._Model, "least", heard)
    monkeypatch.setattr(proof, "_REMEMBERED", {})
    boards = [board_for(problem_of(record_of(*asking))) for asking in ((6, 3, 4), (6, 3, 4, (0, 1)), (6, 2, 6))]
    settled = plan_unit(record_of(6, 3, 4), effort="quick").record
    taught = [replace(settled, taught=frozenset(lessons)) for lessons in ((1,), (2,))]
    boards += [board_for(problem_of(record)) for record in taught]
    questions = [(board, 30, None) for board in boards] + [(boards[0], 29, None), (boards[0], 30, 0.1)]
    answers = [proven_bounds(*question) for question in questions]
    assert len(asked) == len(questions)
    boards[0] = board_for(problem_of(record_of(6, 3, 4)))
    assert [proven_bounds(*question) for question in questions] == answers and len(asked) == len(questions)
    assert proven_bounds(boards[0], 30) == answers[0] and len(asked) == len(questions)
    assert len({found.meeting_cost for found in answers}) > 1


@pytest.mark.parametrize("rounds", [2, 3, 5, 6, 7])
def test_second_meetings_in_a_lesson_are_bounded(rounds: int) -> None:
    """Four in pairs have three rounds without a repeat, counted on paper: each further round is two more repeats."""
    activity = Activity("Game", size=2, rounds=rounds)
    unit = Unit((Lesson(1, (activity,)), Lesson(2, (activity,))))
    fairness = fairness_of(plan_unit(replace(record_of(4, 2, 1), unit=unit), effort="quick").record)
    assert fairness.fewest_twice_in_a_lesson == 2 * 2 * max(0, rounds - 3)
    assert fairness.twice_in_a_lesson == fairness.fewest_twice_in_a_lesson


def test_a_last_round_is_proven_best_where_counting_cannot() -> None:
    """8 in fours: after three of four lessons are fixed, the least for the fourth is proved by exact cover."""
    planned = plan_unit(record_of(8, 4, 4, (0, 1), (2, 3)), effort="quick").record
    fairness = fairness_of(planned)
    assert fairness.bounds.meeting_cost <= fairness.meeting_cost
    assert fairness.proven_best
