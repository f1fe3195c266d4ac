"""The state of relabelling: several rounds of the same people, scored all at once.

The rounds come from one schedule without repeats, so what two people cost in a group does not depend on the others
of these rounds: it is worked out once. That makes a swap of seats in all rounds much cheaper to score than as many
swaps in ``state``.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest
from typing import TypeVar

import numpy as np

from grouper.engines.averages import swap_prices
from grouper.engines.board import Averages, Block, Board, Floats, Seats, Totals
from grouper.engines.seating import as_pair_changes, as_pair_costs, cost_of, group_totals, together
from grouper.engines.state import State


class RelabelState:
    """Seats of some blocks, and what swaps of two people in all of them at once would change.

    Attributes
    ----------
    seats
        blocks x people of these blocks: the group.
    sharing
        blocks x people x people: what it costs two to share a group, given all blocks but these.
    cost
        Of the whole seating, the constant of the board included and turns left out.
    """

    def __init__(self, board: Board, around: Seats, blocks: Seats, seats: Seats) -> None:
        people = board.blocks[blocks[0]].people
        whole = around.copy()
        whole[np.ix_(blocks, people)] = seats
        alone = _without_meetings_among(board, blocks)
        self.cost = cost_of(alone, whole)
        state = State(alone, whole)
        self.sharing: Floats = np.array([state.sharing(int(block))[np.ix_(people, people)] for block in blocks])
        self.groups = len(board.blocks[blocks[0]].sizes)
        self.totals = [tuple(_of(total, people) for total in board.blocks[block].totals) for block in blocks]
        self.averages = [tuple(_of(item, people) for item in board.blocks[block].averages) for block in blocks]
        free = _free_of_charge(len(people), self.groups)
        self.stacks = [_Stack(totals) for totals in zip_longest(*self.totals, fillvalue=free)]
        self.as_pairs = [_among(board.blocks[block], people) for block in blocks]
        self.seats = seats.copy()

    def swap_changes(self) -> Floats:
        """What it would change the cost by that two people swap in all rounds: people x people, inf on the diagonal."""
        seats, apart = self.seats, self.seats[:, :, None] != self.seats[:, None, :]
        shared = ~apart
        joining = self.sharing @ shared.astype(np.float64)
        each: Floats = joining - np.diagonal(joining, axis1=1, axis2=2)[:, :, None] - self.sharing
        for stack in self.stacks:
            each += stack.changes(seats, self._sums(stack.values))
        each[shared] = 0.0
        change: Floats = each.sum(axis=0)
        change = change + change.T
        for row, items, own in zip(seats, self.averages, apart, strict=True):
            for item in items:
                sums = group_totals(row, item.values, self.groups)
                change += np.where(own, swap_prices(item, row, sums) - item.cost(sums), 0.0)
        for block, row, differ in zip(self.as_pairs, seats, apart, strict=True):
            if block.as_pair is not None:
                change += differ * as_pair_changes(block, row)
        np.fill_diagonal(change, np.inf)
        return change

    def _sums(self, values: Floats) -> Floats:
        """Rounds x groups: the totals of values, one row for all rounds or one for each."""
        members = self.seats[:, :, None] == np.arange(self.groups)
        sums: Floats = np.einsum("bi,big->bg", np.broadcast_to(values, self.seats.shape), members)
        return sums

    def swap(self, one: int, other: int, change: float) -> None:
        """Let two people swap in all rounds; ``change`` is what swap_changes said of it."""
        self.seats[:, [one, other]] = self.seats[:, [other, one]]
        self.cost += change

    def reseat_change(self, place: int, seats: Seats) -> float:
        """What it would change the cost by to give the round in this place these seats."""
        return self._round_cost(place, seats) - self._round_cost(place, self.seats[place])

    def reseat(self, place: int, seats: Seats) -> None:
        """Give the round in this place these seats."""
        self.cost += self.reseat_change(place, seats)
        self.seats[place] = seats

    def _round_cost(self, place: int, seats: Seats) -> float:
        def sums(values: Floats) -> Floats:
            return group_totals(seats, values, self.groups)

        totals: float = sum(float(total.cost(sums(total.values)).sum()) for total in self.totals[place])
        averages: float = sum(item.cost(sums(item.values)) for item in self.averages[place])
        meetings = float((together(seats) * self.sharing[place]).sum()) / 2
        meetings += float(as_pair_costs(self.as_pairs[place], seats).sum()) / 2
        return meetings + totals + averages


class _Stack:
    """The same wish of each round, stacked: rounds x people, rounds x groups."""

    def __init__(self, totals: tuple[Totals, ...]) -> None:
        self.values = np.array([total.values for total in totals])
        self.low, self.high, self.step = (
            np.array([getattr(total, name) for total in totals]) for name in ("low", "high", "step")
        )

    def changes(self, seats: Seats, sums: Floats) -> Floats:
        """What each person's group would cost more with each other person instead: rounds x people x people."""
        low, high, step, now = (np.take_along_axis(a, seats, axis=1) for a in (self.low, self.high, self.step, sums))
        before = step * np.maximum(0.0, np.maximum(low - now, now - high))
        after = (now - self.values)[:, :, None] + self.values[:, None, :]
        beyond: Floats = np.maximum(low[:, :, None] - after, after - high[:, :, None])
        np.maximum(beyond, 0.0, out=beyond)
        beyond *= step[:, :, None]
        beyond -= before[:, :, None]
        return beyond


def _among(block: Block, people: Seats) -> Block:
    """The block as it is among those who take part, as far as pairs cost as pairs."""
    return block if block.as_pair is None else replace(block, as_pair=block.as_pair[np.ix_(people, people)])


T = TypeVar("T", Totals, Averages)


def _of(wish: T, people: Seats) -> T:
    """The same wish, its values those of some people only."""
    return replace(wish, values=wish.values[people])


def _free_of_charge(people: int, groups: int) -> Totals:
    """For a round that wishes for less than another one of the same sizes."""
    nothing = np.zeros(groups)
    return Totals(np.zeros(people), nothing, nothing, nothing)


def _without_meetings_among(board: Board, blocks: Seats) -> Board:
    """The board without the price of meetings among these blocks, as the design has none, and without turns.

    Turns do not add up block by block, and seats that swap in all rounds swap their turns too; they are counted apart.
    """
    affinity = board.affinity.copy()
    affinity[np.ix_(blocks, blocks)] = np.diag(np.diag(board.affinity)[blocks])
    return replace(board, affinity=affinity, turn_rounds=np.zeros_like(board.turn_rounds))
