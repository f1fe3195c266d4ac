"""Proofs: a lower bound on the meeting cost by exact cover, where counting leaves a gap and the rounds left are few.

Every team that hard wishes allow, and that does not by itself cost more than the plan at hand, is a yes or no of its
own; each person is covered once in each round; how often a pair meets costs C(m, 2), laid from below by its tangents,
which are exact at whole numbers. CP-SAT (OR-Tools) is asked for a plan that costs less than the one at hand: where
there is none, that one is proven best. One worker, fixed seed, deterministic time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from itertools import combinations
from math import comb
from typing import Any

import numpy as np

from grouper.engines.board import Block, Board
from grouper.engines.bounds import Bounds, bounds_of
from grouper.engines.exact import cp_sat
from grouper.engines.seating import together

MOST_TEAMS = 30_000
MORE_TEAMS = 4.0
"""So many times as many for a longer proof: 93,000 teams took 0.7 GB, and a school laptop has little more to spare."""

EFFORT = 0.5
"""CP-SAT's deterministic time; one to three seconds with making the model."""

Pair = tuple[int, int]


Told = Callable[[int], bool]
"""Told a bound as soon as it is proven; answers whether to go on."""


MOST_REMEMBERED = 200
_REMEMBERED: dict[bytes, int] = {}
"""What was found out, by what was asked: most commands and screens ask for the same plan again, and so do both halves
of a report."""


def proven_bounds(board: Board, reached: int, effort: float | None = None, told: Told | None = None) -> Bounds:
    """The bounds of a board; by exact cover where counting falls short of ``reached`` and the teams are few.

    Parameters
    ----------
    board
        The rounds, and what is fixed of them.
    reached
        The meeting cost of the plan at hand.
    effort
        CP-SAT's deterministic time, ``EFFORT`` where none is given; with more of it there may be more teams, up to
        four times as many.
    told
        May stop the proof; what was proven till then holds.
    """
    counted, effort = bounds_of(board), EFFORT if effort is None else effort
    most = round(MOST_TEAMS * min(MORE_TEAMS, max(1.0, effort / EFFORT)))
    if reached <= counted.meeting_cost or not _is_small(board, most):
        return counted
    exact = _least(board, reached, effort) if told is None else _Model(board, reached).least(effort, told)
    return Bounds(counted.repeats, max(counted.meeting_cost, min(exact, reached)))


def _least(board: Board, reached: int, effort: float) -> int:
    """What a model of the board proves; asked once, as the answer hangs on nothing but the question."""
    blocks = [
        (len(b.keys), b.sizes, b.people, b.cannot_link, b.must_link, None if b.free else b.seats) for b in board.blocks
    ]
    asked = sha256(repr((board.size, reached, effort)).encode())
    for part in (part for block in blocks for part in block):
        asked.update(part.tobytes() if isinstance(part, np.ndarray) else repr(part).encode())
    found = _REMEMBERED.get(asked.digest())
    if found is None:
        found = _REMEMBERED[asked.digest()] = _Model(board, reached).least(effort, None)
        while len(_REMEMBERED) > MOST_REMEMBERED:
            _REMEMBERED.pop(next(iter(_REMEMBERED)), None)
    return found


def _is_small(board: Board, most: int) -> bool:
    """Whether the teams to choose from are few, and every block is either free or known."""
    teams = 0
    for block in board.blocks:
        if block.free:
            teams += sum(comb(len(block.people), size) for size in set(block.sizes))
        elif block.seats is None and len(block.people):
            return False
    return 0 < teams <= most


@dataclass(frozen=True)
class _Team:
    """Who is in it, and the yes or no whether it is formed."""

    people: tuple[int, ...]
    formed: Any


class _Model:
    def __init__(self, board: Board, reached: int) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.board, self.reached = board, reached
        self.model = cp_model.CpModel()
        self.known = self._known_meetings()
        self.past = int((self.known * (self.known - 1)).sum()) // 4
        self.chosen: dict[Pair, list[tuple[int, Any]]] = defaultdict(list)
        for number in board.free:
            self._add_block(board.blocks[number])

    def _known_meetings(self) -> np.ndarray[Any, np.dtype[np.float64]]:
        known = np.zeros((self.board.size, self.board.size))
        for block in self.board.blocks:
            if not block.free and block.seats is not None:
                known += len(block.keys) * together(block.seats)
        return known

    def _add_block(self, block: Block) -> None:
        covering: dict[int, list[Any]] = defaultdict(list)
        for size in sorted(set(block.sizes)):
            affordable = (people for people in _teams(block, size) if self._can_pay(block, people))
            teams = [_Team(people, self.model.new_bool_var("")) for people in affordable]
            self.model.add(sum(team.formed for team in teams) == block.sizes.count(size))
            for team in teams:
                for person in team.people:
                    covering[person].append(team.formed)
                for pair in combinations(team.people, 2):
                    self.chosen[pair].append((len(block.keys), team.formed))
        for person in block.people:
            self.model.add_exactly_one(covering[int(person)])

    def _can_pay(self, block: Block, people: tuple[int, ...]) -> bool:
        """Whether a plan with this team can still cost less than the one at hand."""
        met = sum(self.known[pair] for pair in combinations(people, 2))
        alone = comb(len(block.keys), 2) * comb(len(people), 2)
        return bool(self.past + len(block.keys) * met + alone < self.reached)

    def least(self, effort: float, told: Told | None) -> int:
        """A meeting cost that no plan undercuts: exact where the model is solved in time, else the best bound."""
        total = sum(self._pair_costs()) + self._cost_of_the_past()
        self.model.add(total <= self.reached - 1)
        self.model.minimize(total)
        solver = cp_sat(effort)

        def heard(bound: float) -> None:
            if told is not None and not told(min(self.reached, _whole(bound))):
                solver.stop_search()

        solver.best_bound_callback = heard
        status = solver.solve(self.model)
        if status == self.cp.INFEASIBLE:
            return self.reached
        return _whole(solver.best_objective_bound)

    def _pair_costs(self) -> Iterator[Any]:
        """A cost for each pair that may still meet, above all tangents k m - k (k + 1) / 2 of C(m, 2)."""
        for (one, other), meetings in sorted(self.chosen.items()):
            met = int(self.known[one, other])
            most = met + sum(len(self.board.blocks[number].keys) for number in self.board.free)
            if most < 2:
                continue
            cost = self.model.new_int_var(comb(met, 2), comb(most, 2), "")
            times = met + sum(rounds * formed for rounds, formed in meetings)
            for k in range(max(1, met), most):
                self.model.add(cost >= k * times - k * (k + 1) // 2)
            yield cost

    def _cost_of_the_past(self) -> int:
        """Of the pairs that can't meet any more."""
        over = (pair for pair in combinations(range(self.board.size), 2) if not self.chosen.get(pair))
        return sum(comb(int(self.known[pair]), 2) for pair in over)


def _whole(bound: float) -> int:
    """The least whole cost that is not below a bound."""
    return int(np.ceil(bound - 1e-6))


def _teams(block: Block, size: int) -> Iterator[tuple[int, ...]]:
    """All teams of a size that hard wishes allow: no cannot-link inside, no must-link to the outside."""
    must_link = {int(person): set(np.flatnonzero(block.must_link[person]).tolist()) for person in block.people}
    there = {int(person) for person in block.people}
    for people in combinations(sorted(there), size):
        inside = set(people)
        if any(block.cannot_link[one, other] for one, other in combinations(people, 2)):
            continue
        if all((must_link[person] & there) <= inside for person in people):
            yield people
