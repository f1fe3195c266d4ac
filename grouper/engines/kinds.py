"""Fewest repeats where all balanced rounds are even: a bound by kinds of people, by exact means.

People are of one kind who have the same values and take part in the same rounds. A plan uses each kind of team (how
many of each kind) so and so often, and every round uses each kind of person as often as there are such people. An even
round has all its averages in one window as wide as the tolerance, wherever it lies. Two kinds can meet for the first
time only as often as there are pairs of them that may meet. So the fewest meetings beyond, over all ways to use kinds
of teams, is a bound on the repeats of plans whose balanced rounds are all even. It is a small integer programme for
CP-SAT.

It is no bound on the repeats of any plan, because evenness has a price only: a plan may buy fewer repeats with a less
even round.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import comb
from typing import Any

import numpy as np

from grouper.engines.board import Averages, Block, Board
from grouper.engines.bounds import may_meet
from grouper.engines.exact import cp_sat
from grouper.engines.seating import pairs_of

Team = tuple[int, ...]
"""The kinds of its members, in ascending order."""

MOST_TEAMS = 20_000
EFFORT = 1.0
"""CP-SAT's deterministic time: a second or two."""


@dataclass(frozen=True)
class _Alike:
    """Rounds of the same people in teams of the same sizes, under the same wish for even averages, or none."""

    block: Block
    averages: Averages | None
    times: int
    rounds: int


def least_repeats_with_even_teams(board: Board) -> int | None:
    """The bound; None where no round is balanced, no round can be even, or the kinds of teams are too many.

    Needs OR-Tools.
    """
    if not any(block.free and block.averages for block in board.blocks):
        return None
    model = _Model(board)
    return model.least() if 0 < model.teams <= MOST_TEAMS else None


class _Model:
    def __init__(self, board: Board) -> None:
        self.board = board
        self.kind = _kinds(board)
        self.alike = _alike(board)
        self.choices = [(alike, list(_windows(alike, self.kind))) for alike in self.alike]
        self.teams = sum(len(teams) for _, windows in self.choices for teams in windows)

    def least(self) -> int | None:
        from ortools.sat.python import cp_model

        model = cp_model.CpModel()
        met: dict[tuple[int, int], list[Any]] = defaultdict(list)
        for pair, times in self._known().items():
            met[pair].append(times)
        for alike, windows in self.choices:
            self._add_rounds(model, alike, windows, met)
        beyond = []
        pairs = self._pairs()
        for pair, meetings in sorted(met.items()):
            over = model.new_int_var(0, 1_000_000, "")
            model.add(over >= sum(meetings) - pairs.get(pair, 0))
            beyond.append(over)
        model.minimize(sum(beyond))
        solver = cp_sat(EFFORT)
        if solver.solve(model) == cp_model.INFEASIBLE:
            return None
        return max(0, int(np.ceil(solver.best_objective_bound - 1e-6)))

    def _add_rounds(self, model: Any, alike: _Alike, windows: list[list[Team]], met: Any) -> None:
        """So many rounds in each window, made of teams that lie in it."""
        people = Counter(self.kind[person] for person in alike.block.people.tolist())
        sizes = Counter(alike.block.sizes)
        here = [model.new_int_var(0, alike.times, "") for _ in windows]
        model.add(sum(here) == alike.times)
        for rounds, teams in zip(here, windows, strict=True):
            used = {team: model.new_int_var(0, alike.times * len(alike.block.sizes), "") for team in teams}
            for size, groups in sizes.items():
                model.add(sum(number for team, number in used.items() if len(team) == size) == groups * rounds)
            for kind, number in people.items():
                model.add(sum(team.count(kind) * each for team, each in used.items()) == number * rounds)
            for team, number in used.items():
                for pair, times in _meetings(team).items():
                    met[pair].append(alike.rounds * times * number)

    def _known(self) -> Counter[tuple[int, int]]:
        """Meetings of kinds in rounds that are fixed."""
        known: Counter[tuple[int, int]] = Counter()
        for block in self.board.blocks:
            if not block.free and block.seats is not None:
                for one, other in zip(*pairs_of(block.seats), strict=True):
                    known[self._pair(int(one), int(other))] += len(block.keys)
        return known

    def _pairs(self) -> Counter[tuple[int, int]]:
        """How many pairs of each two kinds may meet."""
        ones, others = np.nonzero(np.triu(may_meet(self.board)))
        return Counter(self._pair(one, other) for one, other in zip(ones.tolist(), others.tolist(), strict=True))

    def _pair(self, one: int, other: int) -> tuple[int, int]:
        first, second = sorted((self.kind[one], self.kind[other]))
        return first, second


def _kinds(board: Board) -> list[int]:
    """The kind of each person, as a number."""
    marks = []
    for block in board.blocks:
        if block.free:
            marks.append(np.isin(np.arange(board.size), block.people).astype(np.float64))
            marks += [averages.values for averages in block.averages]
    rows = [tuple(row) for row in np.array(marks).T.tolist()]
    numbers = {row: number for number, row in enumerate(sorted(set(rows)))}
    return [numbers[row] for row in rows]


def _alike(board: Board) -> list[_Alike]:
    found: dict[tuple[object, ...], list[Block]] = defaultdict(list)
    for block in board.blocks:
        if block.free and len(block.people):
            wish = next(iter(block.averages), None)
            mark = (wish.values.tobytes(), wish.free) if wish else ()
            found[(block.people.tobytes(), block.sizes, len(block.keys), mark)].append(block)
    return [_Alike(blocks[0], next(iter(blocks[0].averages), None), len(blocks), len(blocks[0].keys))
            for blocks in found.values()]


def _windows(alike: _Alike, kind: list[int]) -> Iterator[list[Team]]:
    """For each place of the window the kinds of teams that lie in it; all teams where averages do not count.

    A window that holds a round can be moved up to its lowest average, so that those are all there is to try.
    """
    people, sizes = Counter(kind[person] for person in alike.block.people.tolist()), sorted(set(alike.block.sizes))
    if sum(comb(len(people) + size - 1, size) for size in sizes) > MOST_TEAMS:
        return
    teams = [team for size in sizes for team in combinations_with_replacement(sorted(people), size)
             if all(number <= people[one] for one, number in Counter(team).items())]
    if alike.averages is None:
        yield teams
        return
    value = {kind[person]: float(alike.averages.values[person]) for person in alike.block.people.tolist()}
    scale = dict(zip(alike.block.sizes, alike.averages.scale.tolist(), strict=True))
    level = {team: scale[len(team)] * sum(value[one] for one in team) for team in teams}
    for low in sorted(set(level.values())):
        inside = [team for team in teams if low <= level[team] <= low + alike.averages.free]
        if {len(team) for team in inside} == set(sizes):
            yield inside


def _meetings(team: Team) -> Counter[tuple[int, int]]:
    """How often each two kinds meet in a team of this kind."""
    count = Counter(team)
    found = {(one, other): count[one] * count[other] for one in count for other in count if one < other}
    return Counter({**found, **{(one, one): comb(number, 2) for one, number in count.items() if number > 1}})
