"""What groups cost in one round, given all others: taken from the board, in plain lists."""

from __future__ import annotations

import numpy as np

from grouper.engines.board import Averages, Block, Board, Floats
from grouper.engines.fewest_moves import Average, Prices, Total
from grouper.engines.seating import together
from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.unit import RoundKey
from grouper.rules.coaching import gap_fits
from grouper.rules.trio_turns import TRIO, trio_turns, turns_beforehand, works_in_pairs

TRIO_TURN_PRICE = 20.0
"""An earlier turn in the trio weighs as much as so many repeats; a later one, that may still change, a hundredth."""


def prices_of(problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> Prices:
    """All prices of groups in a round; people are numbered by their place in ``spec.students``."""
    return _Pricing(problem, board, spec, plan).prices()


class _Pricing:
    """What groups cost in one round, given all others: taken from the board, in plain lists."""

    def __init__(self, problem: Problem, board: Board, spec: RoundSpec, plan: Plan) -> None:
        self.problem, self.board, self.spec, self.plan = problem, board, spec, plan
        self.place = self._block_of(spec.key)
        self.people = np.array([board.students.index(student) for student in spec.students], dtype=np.int64)

    @property
    def block(self) -> Block:
        return self.board.blocks[self.place]

    def prices(self) -> Prices:
        """All prices of groups in the round."""
        outside = self._outside()
        here = np.ix_(self.people, self.people)
        return Prices(
            pair_cost=(self._sharing()[here] - self.board.hard * outside).tolist(),
            outside=outside.astype(bool).tolist(),
            wishes=self._wishes(outside),
            hard=self.board.hard,
            turn_cost=self._turn_cost(),
            turn_size=TRIO,
            totals=self._totals(),
            averages=self._averages(),
        )

    def _wishes(self, outside: Floats) -> int:
        """Wishes for together; one in several rounds of a block counts several times, as its price does.

        The board adds what a gap outside of the window costs to the price of a wish: it is taken off again.
        """
        here = np.ix_(self.people, self.people)
        gained = np.round(outside - self.block.pair_cost[here] / self.board.hard)
        return int(np.where(self.block.glued[here], gained, 0).sum()) // 2

    def _sharing(self) -> Floats:
        """What it costs each two people to share a group here: for itself, and for every other round they share."""
        sharing = self.block.pair_cost.copy()
        number = {student: place for place, student in enumerate(self.board.students)}
        for round_ in self.plan.rounds:
            if round_.key not in self.block.keys:
                affinity = self.board.affinity[self.place, self._block_of(round_.key)]
                sharing += affinity * together(_seats(round_, number))
        return sharing

    def _block_of(self, key: RoundKey) -> int:
        return next(place for place, block in enumerate(self.board.blocks) if key in block.keys)

    def _outside(self) -> Floats:
        """Who is outside of the window of the round, or of the round whose groups stay in it."""
        students, activity = self.spec.students, self.problem.by_key[self.block.keys[0]].activity
        outside = np.zeros((len(students), len(students)))
        if activity.aim == "coaching":
            for one, student in enumerate(students):
                for other in range(one):
                    pair = (student, students[other])
                    outside[one, other] = outside[other, one] = not gap_fits(self.problem, activity, pair)
        return outside

    def _turn_cost(self) -> list[float]:
        in_pairs = [r for r in self.plan.rounds if r.key != self.spec.key and works_in_pairs(self.problem, r)]
        had = trio_turns(r for r in in_pairs if r.key < self.spec.key)
        planned = trio_turns(r for r in in_pairs if r.key > self.spec.key)
        price = TRIO_TURN_PRICE * self.board.repeat if (self.block.special > 0).any() else 0.0
        before = turns_beforehand(self.problem, self.spec.key)
        return [price * (before.get(s, 0) + had[s] + planned[s] / 100) for s in self.spec.students]

    def _totals(self) -> tuple[Total, ...]:
        return tuple(
            Total(
                total.values[self.people].tolist(),
                {
                    size: (float(total.low[group]), float(total.high[group]), float(total.step[group]))
                    for group, size in enumerate(self.block.sizes)
                },
            )
            for total in self.block.totals
        )


    def _averages(self) -> tuple[Average, ...]:
        """From averages in the units of the value to the board's finer ones."""

        def average(item: Averages) -> Average:
            one = float(item.scale[0]) * self.block.sizes[0]
            return Average(item.values[self.people].tolist(), lambda spread: item.price_of(round(spread * one)))

        return tuple(average(item) for item in self.block.averages)


def _seats(round_: Round, number: dict[str, int]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    seats = np.full(len(number), -1, dtype=np.int64)
    for place, group in enumerate(round_.groups):
        seats[[number[student] for student in group.members if student in number]] = place
    return seats
