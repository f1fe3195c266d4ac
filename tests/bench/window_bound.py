"""Fewest repeats when every team of balanced rounds lies in its window: a bound by kinds of people, by exact means.

People with the same skill are of one kind. A plan of R rounds uses each kind of team (how many of each skill) so and
so often; in all, each kind of person is used R times its number. Two kinds can meet for the first time only as often as
there are pairs of them that may meet. So the fewest meetings beyond, over all ways to use kinds of teams whose total
lies in the window, is a bound on repeats for plans that keep the window. It is a small integer programme, solved to the
end with CP-SAT.

It is no bound on the repeats of any plan, because the window is soft: a plan may buy fewer repeats with a less even
team. So it stands beside figures and takes no part in planning.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations_with_replacement
from math import comb

from grouper.model.problem import Need, Problem
from grouper.rules.balanced import steps, windows

Team = tuple[int, ...]


def window_bound(problem: Problem) -> int | None:
    """The bound for a unit of balanced rounds of one kind with everybody there; None where it is another unit.

    Needs OR-Tools.
    """
    first = problem.needs[0]
    if any(need.activity != first.activity or need.students != first.students for need in problem.needs):
        return None
    return None if first.activity.aim != "balanced" else _solve(problem, first)


def _solve(problem: Problem, need: Need) -> int | None:
    from ortools.sat.python import cp_model

    skills = steps(problem, need)
    people = Counter(skills.values())
    rounds = len(problem.needs)
    model = cp_model.CpModel()
    used = {team: model.new_int_var(0, rounds * len(need.sizes), str(team)) for team in _teams(problem, need, people)}
    for size, groups in Counter(need.sizes).items():
        model.add(sum(count for team, count in used.items() if len(team) == size) == rounds * groups)
    for skill, number in people.items():
        model.add(sum(team.count(skill) * count for team, count in used.items()) == rounds * number)
    model.minimize(sum(_beyond(model, used, pair, most) for pair, most in _pairs(problem, skills, people).items()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 20.0
    solver.solve(model)
    return max(0, round(solver.best_objective_bound))


def _teams(problem: Problem, need: Need, people: Counter[int]) -> Iterator[Team]:
    """The kinds of teams whose total lies in the window for their size."""
    for window in windows(problem, need):
        for team in combinations_with_replacement(sorted(people), window.size):
            if window.low <= sum(team) <= window.high:
                yield team


def _pairs(problem: Problem, skills: dict[str, int], people: Counter[int]) -> dict[tuple[int, int], int]:
    """How many pairs of each two kinds may meet."""
    kinds = list(combinations_with_replacement(sorted(people), 2))
    pairs = {(a, b): comb(people[a], 2) if a == b else people[a] * people[b] for a, b in kinds}
    for request in problem.requests:
        if request.kind == "apart":
            one, other = sorted((skills[request.student], skills[request.other]))
            pairs[(one, other)] -= 1
    return pairs


def _beyond(model, used, pair: tuple[int, int], most: int):  # type: ignore[no-untyped-def]
    """How often two kinds meet beyond the pairs that there are of them."""
    meetings = sum(_met(team, *pair) * count for team, count in used.items())
    beyond = model.new_int_var(0, 10_000, f"beyond {pair}")
    model.add(beyond >= meetings - most)
    return beyond


def _met(team: Team, one: int, other: int) -> int:
    return comb(team.count(one), 2) if one == other else team.count(one) * team.count(other)
