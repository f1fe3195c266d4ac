"""Relabelling: a schedule without repeats is kept, and its seats are given to students so that all else comes right.

Swapping two students' seats in all rounds at once keeps a schedule free of repeats, as does taking another of its
rounds that is not in use. So requests, gaps, even teams and meetings of other rounds are all that is left to search
for. The search is annealing by heat bath as in ``exchange``, over whole seats instead of one round's.

A step costs four times as many scorings of exchange search as there are rounds, which is what it takes in time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import TypeVar

import numpy as np

from grouper.engines.annealing import HALF, Cooling, Watch, always, anneal, part_of
from grouper.engines.board import NOWHERE, Averages, Block, Board, Floats, Seats, Totals
from grouper.engines.designs import CONSTRUCTIONS, Design, repeat_free_rounds
from grouper.engines.seating import Seating, as_pair_changes, as_pair_costs, cost_of, group_totals, together, turn_cost
from grouper.engines.state import State, swap_prices_of


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
        self.swap_prices = swap_prices_of(self.averages)
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
        # Two who share a group in a round swap nothing there.
        each[shared] = 0.0
        change: Floats = each.sum(axis=0)
        change = change + change.T
        for row, items, own in zip(seats, self.swap_prices, apart, strict=True):
            for prices in items:
                sums = group_totals(row, prices.averages.values, self.groups)
                change += np.where(own, prices.changes(row, sums), 0.0)
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


@dataclass(frozen=True)
class Family:
    """Free blocks with the same people and the same sizes, and schedules without repeats for them.

    The longest schedule is often the stiffest one: where nobody is left to be met, few ways to seat people are even.
    So every schedule takes part that is long enough.
    """

    blocks: tuple[int, ...]
    designs: tuple[Design, ...]


def families(board: Board) -> tuple[Family, ...]:
    """The families of a board with two blocks or more, the largest first."""
    alike: dict[tuple[bytes, tuple[int, ...]], list[int]] = {}
    for number in board.free:
        block = board.blocks[number]
        if len(block.sizes) > 1 and block.sizes[0] > 1:
            alike.setdefault((block.people.tobytes(), block.sizes), []).append(number)
    return tuple(sorted(_with_designs(alike), key=lambda family: -len(family.blocks)))


def _with_designs(alike: dict[tuple[bytes, tuple[int, ...]], list[int]]) -> Iterator[Family]:
    for (_, sizes), numbers in alike.items():
        designs = _designs(sizes, len(numbers)) if len(numbers) > 1 else ()
        if designs:
            yield Family(tuple(numbers), designs)


def _designs(sizes: tuple[int, ...], wanted: int) -> tuple[Design, ...]:
    """Schedules with as many rounds as wanted, or as many as are known; one of each length."""
    longest = repeat_free_rounds(sizes)
    if longest is None or len(longest.rounds) < 2:
        return ()
    found = {len(longest.rounds): longest}
    for construction in CONSTRUCTIONS:
        length = construction.length(sizes)
        if length >= min(wanted, len(longest.rounds)) and length not in found:
            found[length] = Design(sizes, tuple(construction.rounds(sizes)), construction.source)
    return tuple(found.values())


def relabel(
    board: Board,
    seats: Seats,
    family: Family,
    scorings: int,
    rng: np.random.Generator,
    enough: float,
    watch: Watch = always,
) -> Seating:
    """Seats in which the blocks of a family follow one of its designs; other blocks stay.

    Every design is tried for a while, and the most promising one gets most of the budget. Where there are more blocks
    than rounds in the designs, the blocks beyond them stay as they are. ``watch`` may cut it short.
    """
    probe, share = scorings * PROBED / len(family.designs), PROBED / len(family.designs)
    tries = []
    for number, design in enumerate(family.designs):
        heard = part_of(watch, number * share, (number + 1) * share)
        tries.append(_relabel(board, seats, family, design, round(probe), rng, enough, heard))
    # Of a schedule that nearly fits a longer search makes one that fits; of a hopeless one it makes nothing.
    best = min(range(len(tries)), key=lambda number: tries[number].cost)
    if not HALF < tries[best].cost - enough < HOPELESS * board.repeat * len(family.blocks):
        return tries[best]
    rest = scorings - round(scorings * PROBED)
    heard = part_of(watch, PROBED, 1.0, tries[best].cost)
    again = _relabel(board, seats, family, family.designs[best], rest, rng, enough, heard)
    return min(tries[best], again, key=lambda seating: seating.cost)


STEP = 4
"""Scorings of exchange search in the time of one of ours, for each round."""

RELABELLING = Cooling(warm=1.0, cool=0.2)
"""Warmer than exchange search: a swap of seats changes all rounds at once."""

PROBED = 0.5
"""Of the budget: to tell the designs apart."""

HOPELESS = 20.0
"""In repeats a round above what cannot be beaten: no more work is spent on it, exchange search does better."""


def _relabel(
    board: Board,
    seats: Seats,
    family: Family,
    design: Design,
    scorings: int,
    rng: np.random.Generator,
    enough: float,
    watch: Watch,
) -> Seating:
    blocks = family.blocks[: len(design.rounds)]
    steps = max(1, scorings // (STEP * len(blocks)))
    return anneal(_Relabelling(board, seats, design, blocks, steps, rng), steps, enough, watch)


class _Relabelling:
    def __init__(
        self, board: Board, seats: Seats, design: Design, blocks: tuple[int, ...], steps: int, rng: np.random.Generator
    ) -> None:
        self.board, self.blocks, self.steps, self.rng = board, np.array(blocks), steps, rng
        self.people = board.blocks[blocks[0]].people
        self.rounds = _design_seats(design, rng.permutation(len(self.people)))
        order = rng.permutation(len(self.rounds))
        self.used, self.spare = list(order[: len(blocks)]), list(order[len(blocks) :])
        self.seats = seats.copy()
        self.state = RelabelState(board, self.seats, self.blocks, self.rounds[self.used])
        self.best = self._seating()

    def _seating(self) -> Seating:
        seats = self.seats.copy()
        seats[np.ix_(self.blocks, self.people)] = self.state.seats
        turns = turn_cost(self.board, seats) if self.board.turn_rounds.any() else 0.0
        return Seating(seats, self.state.cost + turns)

    def stage(self, share: float, steps: range, enough: float) -> None:
        """Swaps of seats, and now and then another round of the design, ever cooler."""
        for step in steps:
            if self.best.cost <= enough + HALF:
                break
            temperature = self.board.usual_repeat * RELABELLING.at(step / self.steps)
            self._swap_seats(temperature)
            if self.spare and step % 4 == 0:
                self._change_round(temperature)
            self._remember()

    def _remember(self) -> None:
        if self.state.cost < self.best.cost - HALF:
            seating = self._seating()
            self.best = min(self.best, seating, key=lambda item: item.cost)

    def _swap_seats(self, temperature: float) -> None:
        """Draw two students who swap seats in all rounds of the design."""
        change = self.state.swap_changes()
        drawn = change - temperature * self.rng.gumbel(size=change.shape)
        one, other = divmod(int(drawn.argmin()), change.shape[1])
        if drawn[one, other] >= -temperature * self.rng.gumbel():
            return
        self.state.swap(one, other, float(change[one, other]))
        self.rounds[:, [one, other]] = self.rounds[:, [other, one]]

    def _change_round(self, temperature: float) -> None:
        """Offer a spare round of the design to one of the blocks."""
        place, spare = int(self.rng.integers(len(self.used))), int(self.rng.integers(len(self.spare)))
        seats = self.rounds[self.spare[spare]]
        change = self.state.reseat_change(place, seats) + self._turn_change(place, seats)
        if change < temperature * self.rng.exponential():
            self.state.reseat(place, seats)
            self.used[place], self.spare[spare] = self.spare[spare], self.used[place]

    def _turn_change(self, place: int, seats: Seats) -> float:
        if not self.board.turn_rounds[self.blocks[place]]:
            return 0.0
        now = self._seating().seats
        trial = now.copy()
        trial[self.blocks[place], self.people] = seats
        return turn_cost(self.board, trial) - turn_cost(self.board, now)


def _design_seats(design: Design, people: Seats) -> Seats:
    """rounds x people: the group of each person when person ``people[p]`` has the design's place p."""
    seats = np.full((len(design.rounds), len(people)), NOWHERE, dtype=np.int64)
    for number, groups in enumerate(design.rounds):
        for place, group in enumerate(groups):
            seats[number, people[list(group)]] = place
    return seats
