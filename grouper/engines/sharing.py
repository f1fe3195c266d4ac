"""Sharing out what there is: one choice for each of several groups, the cheapest together that the cupboard allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

FINENESS = 1_000_000
"""Costs are whole numbers for the solver; millionths are far below anything that tells two tasks apart."""

SHORT = 1_000 * FINENESS
"""A thing too few costs more than any choice: it is gone without only where there is no other way."""


@dataclass(frozen=True)
class Choice:
    """What a group can have: the cost of it, and how many of each thing it needs, in the order of the cupboard."""

    cost: float
    needs: tuple[int, ...]


@dataclass(frozen=True)
class SharedOut:
    """For each group the place of its choice, and of each thing how many are missing all the same."""

    chosen: tuple[int, ...]
    missing: tuple[int, ...]


def shared_out(groups: Sequence[Sequence[Choice]], counts: Sequence[int]) -> SharedOut:
    """The cheapest choices that need no more of anything than there is; exact.

    Where that cannot be, as few things as can be are missing, and then it is the cheapest.

    Parameters
    ----------
    groups : sequence of sequence of Choice
        What each group can have, at least one thing.
    counts : sequence of int
        How many of each thing there are.
    """
    model = cp_model.CpModel()
    taken = [[model.new_bool_var("") for _ in choices] for choices in groups]
    missing = [model.new_int_var(0, _most(groups, thing), "") for thing in range(len(counts))]
    for row in taken:
        model.add_exactly_one(row)
    for thing, count in enumerate(counts):
        used = [
            choice.needs[thing] * var
            for choices, row in zip(groups, taken, strict=True)
            for choice, var in zip(choices, row, strict=True)
            if choice.needs[thing]
        ]
        model.add(sum(used) <= count + missing[thing])
    costs = [
        round(choice.cost * FINENESS) * var
        for choices, row in zip(groups, taken, strict=True)
        for choice, var in zip(choices, row, strict=True)
    ]
    model.minimize(sum(costs) + SHORT * sum(missing))
    solver = cp_model.CpSolver()
    # One thread and a bound in its own steps, so that the same class gets the same tasks on any machine.
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    solver.parameters.max_deterministic_time = 2.0
    solver.solve(model)
    chosen = tuple(next(place for place, var in enumerate(row) if solver.value(var)) for row in taken)
    return SharedOut(chosen, tuple(int(solver.value(var)) for var in missing))


def _most(groups: Sequence[Sequence[Choice]], thing: int) -> int:
    return sum(max(choice.needs[thing] for choice in choices) for choices in groups)
