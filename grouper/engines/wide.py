"""Exchange search for wide boards: hundreds of people, where scoring all swaps of a round at once is too much.

The same annealing as in ``exchange``, but each scoring looks at the swaps of a few groups of a round with everybody:
groups drawn at random, those that cost much more often. Each of them draws one of its swaps, or none, and those are
made that have no group in common, so that what they change adds up.

A scoring of h people costs O(h x people + h x blocks x size of a group), whatever the number of rounds; see
``docs/quality/scale.md``. The budget is counted in scorings, never in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log

import numpy as np

from grouper.engines.annealing import HALF, POOL, Cooling, Watch, always, anneal
from grouper.engines.board import Block, Board, Floats, Seats
from grouper.engines.seating import Seating, cost_of, hard_cost
from grouper.engines.wide_state import WideState

WIDE = 120
"""From so many people on a board is wide."""

ROWS = 48
"""About so many people are scored at once: enough to keep numpy busy, few enough for the cache."""

MENDING = 400
"""Scorings for a round whose hard wishes a greedy seating broke."""


def is_wide(board: Board) -> bool:
    """Whether a board is for this search rather than for ``exchange``."""
    return board.size >= WIDE


def improve_wide(
    board: Board,
    seats: Seats,
    scorings: int,
    rng: np.random.Generator,
    enough: float = 0.0,
    watch: Watch | None = None,
    cooling: Cooling | None = None,
) -> Seating:
    """The best seating that exchange search finds from ``seats`` (blocks x people) in so many scorings.

    Stops as soon as the cost is down to ``enough``, or when ``watch`` says so.
    """
    search = _Search(WideState(board, seats), scorings, rng, cooling)
    found = anneal(search, scorings, enough, watch or always).seats
    # The search was guided by windows in the place of averages: the cost that counts is the board's own.
    return Seating(found, cost_of(board, found))


def keep_hard_wishes(board: Board, block: Block, seats: Seats, rng: np.random.Generator) -> Seats:
    """The seats of one block, mended by swaps until they break no hard wish, or as few as the search finds."""
    if hard_cost(board, block, seats) == 0:
        return seats
    prices = np.where(np.abs(block.pair_cost) >= board.hard / 2, block.pair_cost, 0.0)
    # As one round: how long its groups stay makes a wish no dearer.
    single_round = replace(block, keys=block.keys[:1], special=np.zeros(len(block.sizes)))
    alone = replace(single_round, pair_cost=prices, totals=(), averages=())
    wishes = float(block.must_link.sum()) / 2 * board.hard
    single = replace(board.alone(alone), constant=wishes, repeat=board.hard)
    mended: Seats = improve_wide(single, seats[None, :], MENDING, rng, cooling=MENDING_HEAT).seats[0]
    return mended


def cooling_for(swaps: int) -> Cooling:
    """How to cool where a group draws from so many swaps: the more there are, the less each may weigh.

    At ``warm`` some twenty of them would be made against one draw for none, were each to cost a repeat, at ``cool``
    one or two: what ``exchange`` does in a class of thirty. Each group is looked at seldom, so that there is longer
    to go from cool to cold.
    """
    return Cooling(warm=1 / log(max(60, swaps) / 18), cool=1 / log(max(60, swaps) / 1.5), slow_share=0.65)


MENDING_HEAT = Cooling(warm=0.09, cool=0.06)
"""In units of a broken wish: seldom one more is broken, to get at another."""


@dataclass(frozen=True)
class _Draw:
    """A swap that a group has drawn: the lower ``rank``, the better it stands against those of other groups."""

    rank: float
    one: int
    other: int


class _Search:
    def __init__(
        self, state: WideState, scorings: int, rng: np.random.Generator, cooling: Cooling | None
    ) -> None:
        self.state, self.scorings, self.rng = state, scorings, rng
        self.best = state.seating()
        board = state.board
        self.free = [number for number in board.free if len(board.blocks[number].sizes) > 1]
        self.coolings = [
            cooling or cooling_for(max(block.sizes, default=1) * len(block.people)) for block in board.blocks
        ]
        largest = max((max(block.sizes, default=1) for block in board.blocks), default=1)
        self.noise = rng.gumbel(size=POOL + (ROWS + largest) * board.size)

    def stage(self, share: float, steps: range, enough: float) -> None:
        """Rounds take turns; each has a temperature of its own, by how many swaps it has to draw from."""
        for step in steps if self.free else ():
            if self.best.cost <= enough + HALF:
                break
            number = self.free[step % len(self.free)]
            self._turn(number, self.state.board.usual_repeat * self.coolings[number].at(step / self.scorings))
            if self.state.cost < self.best.cost - HALF:
                self.best = self.state.seating()

    def _turn(self, number: int, temperature: float) -> None:
        """Score the swaps of a few groups of a round, and make those that they draw."""
        rows, begins = self.state.rows(number, self._groups(number))
        changes = self.state.swap_changes(number, rows, begins)
        touched: set[int] = set()
        for draw in sorted(self._draws(changes, rows, begins, temperature), key=lambda draw: draw.rank):
            groups = {int(self.state.seats[number, person]) for person in (draw.one, draw.other)}
            if not groups & touched:
                self.state.swap(number, draw.one, draw.other)
                touched |= groups

    def _groups(self, number: int) -> Seats:
        """Some groups of a round, drawn without replacement; one that costs nothing weighs half of an average one."""
        costs = self.state.avoidable_costs(number)
        sizes = self.state.board.blocks[number].sizes
        wanted = min(len(sizes), max(1, round(ROWS / sizes[0])))
        weights = np.minimum(np.maximum(costs, 0.0), self.state.board.hard)
        weights += weights.mean() or 1.0
        return np.argsort(-(np.log(weights) + self.rng.gumbel(size=len(sizes))), kind="stable")[:wanted]

    def _draws(self, changes: Floats, rows: Seats, begins: Seats, temperature: float) -> list[_Draw]:
        """The swap that each group draws by heat bath, left out where it draws none."""
        start = int(self.rng.integers(POOL))
        noise = self.noise[start : start + changes.size].reshape(changes.shape)
        drawn = changes - temperature * noise
        others = drawn.argmin(axis=1)
        ranks = drawn[np.arange(len(rows)), others]
        none = -temperature * self.rng.gumbel(size=len(begins))
        ends = np.append(begins[1:], len(rows))
        draws = []
        for begin, end, rank in zip(begins, ends, none, strict=True):
            row = int(begin + ranks[begin:end].argmin())
            if changes[row, others[row]] < np.inf and ranks[row] < rank:
                draws.append(_Draw(float(ranks[row]), int(rows[row]), int(others[row])))
        return draws
