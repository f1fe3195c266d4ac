"""The state of relabelling: several rounds of the same people, scored all at once.

The rounds come from one schedule without repeats, so what two people cost in a group does not depend on the others
of these rounds: it is worked out once. That makes a swap of seats in all rounds much cheaper to score than as many
swaps in ``state``.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import zip_longest

import numpy as np

from grouper.engines.board import Block, Board, Floats, Seats, Totals
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
        self.sharing: Floats = State(alone, whole).sharing[np.ix_(blocks, people, people)]
        self.groups = len(board.blocks[blocks[0]].sizes)
        self.each = [tuple(_of(total, people) for total in board.blocks[block].totals) for block in blocks]
        free = _free_of_charge(len(people), self.groups)
        self.stacks = [_Stack(totals) for totals in zip_longest(*self.each, fillvalue=free)]
        self.hard = board.hard
        self.as_pairs = [_among(board.blocks[block], people) for block in blocks]
        self.seats = seats.copy()
        self._place()

    def _place(self) -> None:
        self.members = (self.seats[:, :, None] == np.arange(self.groups)).astype(np.float64)
        self.sums = [(stack.values[:, None, :] @ self.members)[:, 0, :] for stack in self.stacks]

    @property
    def dearest_step(self) -> float:
        """The highest price of a step of a team's total, hard ones apart; 0 where totals do not count."""
        steps = (stack.step for stack in self.stacks)
        return max((float(step[step < self.hard].max(initial=0.0)) for step in steps), default=0.0)

    def swap_changes(self) -> Floats:
        """What it would change the cost by that two people swap in all rounds: people x people, inf on the diagonal."""
        seats, apart = self.seats, self.seats[:, :, None] != self.seats[:, None, :]
        joining = np.take_along_axis(self.sharing @ self.members, seats[:, None, :], axis=2)
        each: Floats = joining - np.diagonal(joining, axis1=1, axis2=2)[:, :, None] - self.sharing
        for stack, sums in zip(self.stacks, self.sums, strict=True):
            each += stack.changes(seats, sums)
        change: Floats = np.einsum("bij,bij->ij", each, apart)
        change = change + change.T
        for block, row, differ in zip(self.as_pairs, seats, apart, strict=True):
            if block.as_pair is not None:
                change += differ * as_pair_changes(block, row)
        np.fill_diagonal(change, np.inf)
        return change

    def swap(self, one: int, other: int, change: float) -> None:
        """Let two people swap in all rounds; ``change`` is what swap_changes said of it."""
        self.seats[:, [one, other]] = self.seats[:, [other, one]]
        self._place()
        self.cost += change

    def reseat_change(self, place: int, seats: Seats) -> float:
        """What it would change the cost by to give the round in this place these seats."""
        return self._round_cost(place, seats) - self._round_cost(place, self.seats[place])

    def reseat(self, place: int, seats: Seats) -> None:
        """Give the round in this place these seats."""
        self.cost += self.reseat_change(place, seats)
        self.seats[place] = seats
        self._place()

    def _round_cost(self, place: int, seats: Seats) -> float:
        totals = (float(total.cost(group_totals(seats, total.values, self.groups)).sum()) for total in self.each[place])
        pairs = float((together(seats) * self.sharing[place]).sum()) + float(
            as_pair_costs(self.as_pairs[place], seats).sum()
        )
        return pairs / 2 + sum(totals)


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


def _of(total: Totals, people: Seats) -> Totals:
    return replace(total, values=total.values[people])


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
