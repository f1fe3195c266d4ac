"""Exact search for the rest of a day (CP-SAT): most games, then fewest slots, then the smallest difference in games."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from grouper.games.filling import Rest
from grouper.games.pairing import Slots

MOST_CHOICES = 2500
MOST_WORK = 0.6


def exact_slots(rest: Rest) -> Slots | None:
    """The best filling found in a fixed amount of (deterministic) work, or ``None`` when it does not suffice.

    Where there is no limit on slots, one slot more than the bound is allowed.
    """
    from ortools.sat.python import cp_model

    count = rest.slots if rest.slots is not None else rest.fewest_slots() + 1
    model = cp_model.CpModel()
    plays = [[model.new_bool_var("") for _ in range(count)] for _ in rest.left]
    used = [model.new_bool_var("") for _ in range(count)]
    _keep_rules(model, rest, plays, used)
    _aim(model, rest, plays, used)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    solver.parameters.max_deterministic_time = MOST_WORK
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    slots = [[pair for pair, row in zip(rest.left, plays, strict=True) if solver.value(row[s])] for s in range(count)]
    found = [games for games in slots if games]
    return found if rest.slots is not None or sum(map(len, found)) == len(rest.left) else None


def _keep_rules(model: Any, rest: Rest, plays: Sequence[Sequence[Any]], used: Sequence[Any]) -> None:
    for row in plays:
        model.add_at_most_one(row)
    for slot, flag in enumerate(used):
        model.add(sum(row[slot] for row in plays) <= rest.at_once * flag)
        for team in rest.teams:
            games = [row[slot] for pair, row in zip(rest.left, plays, strict=True) if team in pair]
            model.add_at_most_one(games)


def _aim(model: Any, rest: Rest, plays: Sequence[Sequence[Any]], used: Sequence[Any]) -> None:
    before = rest.games_before()
    limit = max(before.values(), default=0) + len(used)
    most, fewest = model.new_int_var(0, limit, ""), model.new_int_var(0, limit, "")
    for team in rest.teams:
        had = before[team] + sum(sum(row) for pair, row in zip(rest.left, plays, strict=True) if team in pair)
        model.add(had <= most)
        model.add(had >= fewest)
    games = sum(sum(row) for row in plays)
    model.maximize(games * (limit + 1) * (len(used) + 1) - sum(used) * (limit + 1) - (most - fewest))
