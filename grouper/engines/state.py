"""The state of a search: who sits where, and what it would cost each two people to share a group."""

from __future__ import annotations

import numpy as np

from grouper.engines.board import NOWHERE, Board, Floats, Seats
from grouper.engines.seating import (
    Seating,
    as_pair_changes,
    as_pair_costs,
    cost_of,
    group_totals,
    is_special,
    together,
    turns,
)


class State:
    """Seats of all blocks with everything that swaps are scored by, kept up to date swap by swap.

    Attributes
    ----------
    seats
        blocks x people, the group or NOWHERE.
    sharing
        blocks x people x people: what it costs two people to share a group in a block, given all other blocks.
    members
        blocks x people x groups, 1 where a person sits.
    totals
        For each block, for each of its Totals, the total of each group.
    turns
        Turns in a special place, a person.
    cost
        Of the whole seating, the constant of the board included.
    """

    def __init__(self, board: Board, seats: Seats) -> None:
        self.board = board
        self.crossed = board.affinity - np.diag(np.diag(board.affinity))
        self.place(seats)

    def place(self, seats: Seats) -> None:
        """Begin afresh from these seats."""
        board = self.board
        self.seats = seats.copy()
        self.sharing = np.tensordot(self.crossed, np.array([together(row) for row in seats]), axes=1)
        for number, block in enumerate(board.blocks):
            self.sharing[number] += block.pair_cost + board.affinity[number, number]
            np.fill_diagonal(self.sharing[number], 0.0)
        groups = max(len(block.sizes) for block in board.blocks)
        self.members = (seats[:, :, None] == np.arange(groups)).astype(np.float64)
        self.totals = [
            [group_totals(row, total.values, len(block.sizes)) for total in block.totals]
            for block, row in zip(board.blocks, seats, strict=True)
        ]
        self.turns = turns(board, seats)
        self.cost = cost_of(board, seats)

    def swap_changes(self, number: int) -> Floats:
        """What every swap of a block would change the cost by: people x people, inf where it is no swap."""
        block, seats, sharing = self.board.blocks[number], self.seats[number], self.sharing[number]
        joining = (sharing @ self.members[number])[:, seats]
        change: Floats = joining - joining.diagonal()[:, None]
        for total, sums in zip(block.totals, self.totals[number], strict=True):
            change += _totals_change(seats, total.values, sums, total.low, total.high, total.step)
        change = change + change.T - 2.0 * sharing
        if block.as_pair is not None:
            change += as_pair_changes(block, seats)
        if self.board.turn_rounds[number]:
            change += self._turn_changes(number)
        change[seats[:, None] == seats] = np.inf
        if len(block.people) < len(seats):
            change[seats == NOWHERE, :] = np.inf
            change[:, seats == NOWHERE] = np.inf
        return change

    def _turn_changes(self, number: int) -> Floats:
        """A turn more costs rounds x turns in other blocks, and what the rounds cost by themselves."""
        block, rounds = self.board.blocks[number], self.board.turn_rounds[number]
        special = is_special(block, self.seats[number])
        elsewhere = self.turns - rounds * special
        price = block.special.max() * (rounds * elsewhere + rounds * (rounds - 1) / 2)
        gain: Floats = (special[:, None] - special) * (price - price[:, None])
        return gain

    def swap(self, number: int, one: int, other: int, change: float) -> None:
        """Let two people of a block swap groups; ``change`` is what swap_changes said of it."""
        seats, members = self.seats[number], self.members[number]
        here, there = seats[one], seats[other]
        self._reshare(number, one, other, members[:, there] - members[:, here])
        for total, sums in zip(self.board.blocks[number].totals, self.totals[number], strict=True):
            moved = total.values[other] - total.values[one]
            sums[here] += moved
            sums[there] -= moved
        if self.board.turn_rounds[number]:
            self._retake(number, one, other)
        seats[one], seats[other] = there, here
        members[[one, other]] = members[[other, one]]
        self.cost += change

    def _reshare(self, number: int, one: int, other: int, gained: Floats) -> None:
        """``gained`` is 1 for whom ``one`` now meets and -1 for whom no longer; for ``other`` it is the opposite."""
        gained[[one, other]] = 0.0
        step = self.crossed[:, number, None] * gained
        self.sharing[:, one, :] += step
        self.sharing[:, :, one] += step
        self.sharing[:, other, :] -= step
        self.sharing[:, :, other] -= step

    def _retake(self, number: int, one: int, other: int) -> None:
        special = is_special(self.board.blocks[number], self.seats[number])
        taken = self.board.turn_rounds[number] * (special[other] - special[one])
        self.turns[one] += taken
        self.turns[other] -= taken

    def reseat_change(self, number: int, seats: Seats) -> float:
        """What it would change the cost by to give a block these seats; turns are not counted."""
        block = self.board.blocks[number]
        moved = together(seats) - together(self.seats[number])
        change = float((moved * self.sharing[number]).sum()) / 2
        for total, sums in zip(block.totals, self.totals[number], strict=True):
            after = group_totals(seats, total.values, len(block.sizes))
            change += float((total.cost(after) - total.cost(sums)).sum())
        return change + float((as_pair_costs(block, seats) - as_pair_costs(block, self.seats[number])).sum()) / 2

    def reseat(self, number: int, seats: Seats, change: float) -> None:
        """Give a block these seats; ``change`` is what reseat_change said of it. The board must count no turns."""
        block = self.board.blocks[number]
        moved = together(seats) - together(self.seats[number])
        self.sharing += self.crossed[:, number, None, None] * moved
        self.seats[number] = seats
        self.members[number] = seats[:, None] == np.arange(self.members.shape[2])
        self.totals[number] = [group_totals(seats, total.values, len(block.sizes)) for total in block.totals]
        self.cost += change

    def seating(self) -> Seating:
        """The seating as it is now."""
        return Seating(self.seats.copy(), self.cost)


def _totals_change(seats: Seats, values: Floats, sums: Floats, low: Floats, high: Floats, step: Floats) -> Floats:
    """What each person's group would cost more, were the person exchanged for each other person: people x people."""
    low, high, step, now = low[seats], high[seats], step[seats], sums[seats]
    before = step * np.maximum(0.0, np.maximum(low - now, now - high))
    after = (now - values)[:, None] + values
    beyond = np.maximum(low[:, None] - after, after - high[:, None])
    np.maximum(beyond, 0.0, out=beyond)
    beyond *= step[:, None]
    beyond -= before[:, None]
    return beyond
