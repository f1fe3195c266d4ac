"""From a problem to a board, and from seats to a plan: labels, rounds whose groups stay, roles."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from grouper.engines.board import Board, Seats
from grouper.engines.compile import board_of
from grouper.engines.fewest_moves import Prices, Standing, mend
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.unit import RoundKey
from grouper.planning.turns import with_roles
from grouper.rules.catalogue import RULES


def board_for(problem: Problem, start: Mapping[RoundKey, Round] | None = None) -> Board:
    """The board of a problem under all rules; ``start`` gives groups to begin from, for free rounds."""
    return board_of(problem, (term for rule in RULES for term in rule.terms(problem)), start)


def plan_from(problem: Problem, board: Board, seats: Seats) -> Plan:
    """The plan that a seating stands for.

    Labels are numbers dealt at random, and so is who is named first, so that neither tells anything; a group keeps its
    label while it stays.
    """
    rounds: dict[RoundKey, Round] = {}
    leaders = {block.keys[0]: row for block, row in zip(board.blocks, seats, strict=True) if block.free}
    for spec in problem.rounds:
        rounds[spec.key] = _round(problem, spec, board, leaders, rounds)
    plan = with_roles(problem, Plan(tuple(rounds.values())))
    return plan.with_rounds({r.key: _as_planned(r) for r in plan.rounds if problem.by_key[r.key].fixed is None})


def _as_planned(round_: Round) -> Round:
    return replace(round_, planned=round_.groups)


def _round(
    problem: Problem, spec: RoundSpec, board: Board, leaders: dict[RoundKey, Seats], before: dict[RoundKey, Round]
) -> Round:
    if spec.fixed is not None:
        return spec.fixed
    if spec.leader is not None:
        return Round(spec.key, staying_groups(problem, spec, before[spec.leader]))
    return Round(spec.key, _labelled(problem, spec, board, leaders[spec.key]))


def _labelled(problem: Problem, spec: RoundSpec, board: Board, seats: Seats) -> tuple[Group, ...]:
    teams = [
        problem.drawn(spec.key, (board.students[person] for person in np.flatnonzero(seats == place)))
        for place in range(len(spec.sizes))
    ]
    deal = np.random.default_rng([problem.draw, *spec.key]).permutation(len(teams))
    return tuple(Group(str(label), teams[number]) for label, number in enumerate(deal, start=1))


def staying_groups(problem: Problem, spec: RoundSpec, leader: Round) -> tuple[Group, ...]:
    """The leader's groups for a later round: as they are, or mended with fewest moves where others are there."""
    here = set(spec.students)
    if set(leader.students) == here:
        return leader.groups
    students = problem.drawn(spec.key, spec.students)
    number = {student: place for place, student in enumerate(students)}
    standing = Standing(
        groups=tuple(tuple(number[s] for s in group.members if s in here) for group in leader.groups),
        joining=tuple(number[s] for s in students if s not in set(leader.students)),
        sizes=spec.sizes,
        prices=Prices(np.zeros((len(number), len(number))).tolist(), hard=1.0),
    )
    labels = [group.label for group in leader.groups]
    return regrouped(mend(standing).groups, labels, students)


def regrouped(places: tuple[tuple[int, ...], ...], labels: list[str], students: tuple[str, ...]) -> tuple[Group, ...]:
    """Groups by place, the empty ones left out; places beyond the labels get the lowest free numbers."""
    used = list(labels)
    while len(used) < len(places):
        used.append(_free_label(used))
    return tuple(
        Group(label, tuple(students[person] for person in sorted(place)))
        for label, place in zip(used, places, strict=True)
        if place
    )


def _free_label(used: list[str]) -> str:
    number = 1
    while str(number) in used:
        number += 1
    return str(number)
