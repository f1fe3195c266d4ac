"""What it changes the price of group totals by when two people swap, looked up instead of worked out.

Values are whole numbers and a swap moves a total by the difference of two of them, so that one row a group, with one
entry for each difference there can be, holds all the answers. Ratings from 1 to 5 make nine entries.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from grouper.engines.board import Block, Floats, Seats, Totals
from grouper.engines.seating import group_totals


class TotalsTable:
    """The totals of one value in the groups of a block, under all windows that there are for this value.

    Attributes
    ----------
    sums
        The total of each group.
    costs
        What each group costs now.
    """

    def __init__(self, windows: Sequence[Totals], seats: Seats) -> None:
        self.windows = windows
        self.values: Seats = np.rint(windows[0].values).astype(np.int64)
        self.reach = int(np.ptp(self.values))
        groups = len(windows[0].low)
        self.sums = group_totals(seats, windows[0].values, groups)
        self.costs = np.zeros(groups)
        self.table = np.zeros((groups, 2 * self.reach + 1))
        self._look_again(np.arange(groups))

    def changes(self, rows: Seats, seats: Seats) -> Floats:
        """What it would change the cost by, were each of ``rows`` to swap with everybody: rows x people."""
        gained = self.values - self.values[rows][:, None] + self.reach
        width = self.table.shape[1]
        here = self.table.ravel()[gained + seats[rows][:, None] * width]
        there: Floats = self.table.ravel()[(seats * width + 2 * self.reach) - gained]
        there += here
        return there

    def swap(self, one: int, other: int, here: int, there: int) -> float:
        """Let two people swap out of these groups; what it changes the cost by."""
        gained = self.values[other] - self.values[one]
        both = np.array([here, there])
        before = self.costs[both].sum()
        self.sums[both] += (gained, -gained)
        self._look_again(both)
        return float(self.costs[both].sum() - before)

    def _look_again(self, groups: Seats) -> None:
        """Work the rows of these groups out afresh."""
        steps = np.arange(-self.reach, self.reach + 1)
        totals = self.sums[groups][:, None] + steps
        prices = sum((_prices(window, groups, totals) for window in self.windows), np.zeros(totals.shape))
        self.costs[groups] = prices[:, self.reach]
        self.table[groups] = prices - prices[:, self.reach, None]


def _prices(window: Totals, groups: Seats, totals: Floats) -> Floats:
    low, high, step = window.low[groups], window.high[groups], window.step[groups]
    beyond = np.maximum(low[:, None] - totals, totals - high[:, None])
    prices: Floats = step[:, None] * np.maximum(0.0, beyond)
    return prices


def tables_of(block: Block, seats: Seats) -> list[TotalsTable]:
    """The tables of a block, one for each value that its groups have totals of."""
    by_value: dict[bytes, list[Totals]] = {}
    for total in block.totals:
        by_value.setdefault(total.values.tobytes(), []).append(total)
    return [TotalsTable(windows, seats) for windows in by_value.values()]
