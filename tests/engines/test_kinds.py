"""The bound by kinds of people is checked against all plans of small classes."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, product

import pytest
from builders import STRAND, apart, partitions, record_of, roster_of

from grouper.engines.kinds import least_repeats_with_even_teams
from grouper.model.problem import Problem, problem_of
from grouper.model.unit import Activity
from grouper.planning.assemble import board_for

CLASSES = (
    ((1, 1, 3, 3, 5, 5), 3, 2, ()),
    ((1, 2, 3, 3, 4, 5), 3, 2, ((1, 6),)),
    ((1, 1, 1, 5, 5, 5), 2, 3, ()),
    ((1, 1, 1, 5, 5, 5), 2, 3, ((1, 4), (2, 5))),
    ((1, 1, 1, 1, 4, 5), 3, 2, ()),
)


@pytest.mark.parametrize(("ratings", "size", "lessons", "kept_apart"), CLASSES)
def test_no_plan_within_the_windows_has_fewer_repeats(
    ratings: tuple[int, ...], size: int, lessons: int, kept_apart: tuple[tuple[int, int], ...]
) -> None:
    """Of all plans of a class of six that keep windows and requests, none has fewer repeats than the bound."""
    game = Activity("game", "balanced", size, strand=STRAND)
    requests = [apart(f"s{one:02}", f"s{other:02}") for one, other in kept_apart]
    problem = problem_of(record_of(roster_of(6, ratings), game, requests=requests, lessons=lessons))
    bound, least = least_repeats_with_even_teams(board_for(problem)), _least(problem)
    assert bound is not None
    assert least is None or bound <= least


def test_the_bound_is_reached_where_skills_leave_few_partners() -> None:
    """Three of skill 1 and three of skill 5 in pairs within the window: three partners each, so a fourth round repeats
    three pairs."""
    game = Activity("game", "balanced", 2, strand=STRAND)
    problem = problem_of(record_of(roster_of(6, (1, 1, 1, 5, 5, 5)), game, lessons=4))
    assert least_repeats_with_even_teams(board_for(problem)) == 3 == _least(problem)


def test_teams_of_two_sizes_are_even_wherever_they_lie() -> None:
    """A class of five in a trio and a pair, against all plans."""
    game = Activity("game", "balanced", 3, strand=STRAND)
    for ratings in ((1, 2, 3, 4, 5), (1, 1, 3, 5, 5), (2, 2, 2, 3, 5)):
        problem = problem_of(record_of(roster_of(5, ratings), game, lessons=3))
        bound, least = least_repeats_with_even_teams(board_for(problem)), _least(problem)
        assert (bound is None) <= (least is None)
        assert least is None or bound is None or bound <= least


def test_no_bound_where_nothing_is_balanced() -> None:
    """New partners alone have the bounds by counting."""
    record = record_of(roster_of(6), Activity("game", size=3))
    assert least_repeats_with_even_teams(board_for(problem_of(record))) is None


def _least(problem: Problem) -> int | None:
    """By trying all plans; None where no round keeps windows and requests."""
    rounds = [_pairs(round_) for round_ in _even_rounds(problem)]
    plans = product(rounds, repeat=len(problem.rounds))
    return min((sum(map(len, plan)) - len(set().union(*plan)) for plan in plans), default=None)


def _even_rounds(problem: Problem) -> list[tuple[tuple[int, ...], ...]]:
    """All ways to group the class that keep the requests and have averages an eighth of the range apart at most."""
    spec = problem.rounds[0]
    rating = [Fraction(problem.roster.rating(student, STRAND)) for student in spec.students]
    forbidden = {tuple(sorted(map(spec.students.index, request.pair))) for request in problem.requests}

    def is_even(round_: tuple[tuple[int, ...], ...]) -> bool:
        averages = [sum(rating[person] for person in team) / len(team) for team in round_]
        return max(averages) - min(averages) <= (max(rating) - min(rating)) / 8

    return [
        round_
        for round_ in partitions(range(len(rating)), spec.sizes)
        if not forbidden & _pairs(round_) and is_even(round_)
    ]


def _pairs(round_: tuple[tuple[int, ...], ...]) -> set[tuple[int, int]]:
    return {pair for team in round_ for pair in combinations(sorted(team), 2)}
