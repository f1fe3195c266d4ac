"""The board: a problem compiled into integer arrays, all that an engine needs to know.

People are numbered 0..n-1 in roster order. A block is one free choice of groups: a round, together with the later
rounds in which the same groups stay. Fixed rounds are blocks whose seats can't change. Costs are whole numbers, held
as float64 so that sums of products run in BLAS; they stay far below 2**53, so that every sum is exact.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, comb

import numpy as np
from numpy.typing import NDArray

from grouper.model.unit import RoundKey

Floats = NDArray[np.float64]
Seats = NDArray[np.int64]
Flags = NDArray[np.bool_]

NOWHERE = -1


@dataclass(frozen=True)
class Totals:
    """Group totals of a value that should lie in a window.

    ``values`` has one entry a person; ``low``, ``high`` and ``step`` one entry a group: what lies beyond the window
    costs ``step`` a unit.
    """

    values: Floats
    low: Floats
    high: Floats
    step: Floats

    def cost(self, totals: Floats) -> Floats:
        """What groups with these totals cost, one entry a group."""
        return self.step * np.maximum(0.0, np.maximum(self.low - totals, totals - self.high))


@dataclass(frozen=True)
class Averages:
    """Group averages of a value that should lie near one another.

    ``values`` has one entry a person; ``scale`` one entry a group: what makes its total an average, in units so small
    that all averages are whole numbers, and 0 for one that does not count. ``free`` of those units may lie between the
    largest and the smallest; what lies beyond costs ``step`` for ``unit``, rounded up, ``least`` at least, all of it
    ``weight`` times.
    """

    values: Floats
    scale: Floats
    free: float
    step: float
    unit: float
    least: float
    weight: float

    @cached_property
    def key(self) -> bytes:
        """The same for the same wish of other rounds."""
        numbers = np.array([self.free, self.step, self.unit, self.least, self.weight])
        return b"".join(part.tobytes() for part in (numbers, self.scale, self.values))

    @cached_property
    def all_count(self) -> bool:
        """Whether every group does."""
        return bool(self.scale.all())

    @cached_property
    def differences(self) -> Floats:
        """People x people: how much more of the value the second one has."""
        found: Floats = self.values - self.values[:, None]
        return found

    def price(self, spread: Floats) -> Floats:
        """What it costs that the largest average is so far above the smallest, entry by entry."""
        beyond = np.maximum(0.0, spread - self.free)
        price: Floats = np.ceil(beyond * self.step / self.unit)
        if self.least:
            price = np.maximum(price, self.least * (beyond > 0))
        return self.weight * price

    def cost(self, totals: Floats) -> float:
        """What a round costs whose groups have these totals."""
        averages = (totals * self.scale).tolist()
        if not self.all_count:
            averages = [average for average, scale in zip(averages, self.scale.tolist(), strict=True) if scale]
        return self.price_of(max(averages, default=0.0) - min(averages, default=0.0))

    def price_of(self, spread: float) -> float:
        """The same for one round, without arrays."""
        beyond = spread - self.free
        if beyond <= 0:
            return 0.0
        return self.weight * max(self.least, ceil(beyond * self.step / self.unit))


@dataclass(frozen=True)
class Block:
    """One choice of groups.

    Parameters
    ----------
    keys
        The rounds that have these groups; the first one leads, in the others the groups stay.
    people
        Numbers of those who take part.
    sizes
        One entry a group, largest first.
    pair_cost
        n x n, symmetric, zero diagonal: what two people in one group cost, all rounds of the block together.
    cannot_link, must_link
        n x n, symmetric: who may never, and who must, share a group here. A gap window bars a pair only where all
        groups are pairs; with a trio it is a cost.
    totals
        Group totals that should lie in windows.
    averages
        Group averages that should lie near one another.
    special
        One entry a group: weight of a turn there (the trio), zero for an ordinary group.
    seats
        One entry a person, the group or NOWHERE, where the block is fixed or has groups to start from; else None.
    free
        Whether the seats may change. A block that is not free and has no seats follows from another one later.
    as_pair
        n x n, symmetric: what two people cost more where they are a pair by themselves; None where nothing does.
    """

    keys: tuple[RoundKey, ...]
    people: Seats
    sizes: tuple[int, ...]
    pair_cost: Floats
    cannot_link: Flags
    must_link: Flags
    totals: tuple[Totals, ...]
    averages: tuple[Averages, ...]
    special: Floats
    seats: Seats | None
    free: bool
    as_pair: Floats | None = None

    @cached_property
    def of_two(self) -> Flags:
        """One entry a group: whether it is one of two."""
        pairs: Flags = np.array(self.sizes) == 2
        return pairs

    @cached_property
    def as_pair_or_alone(self) -> Floats:
        """``as_pair`` with a column of nothing at its end, for those who are in no pair."""
        size = self.pair_cost.shape[0]
        as_pair = np.zeros((size, size)) if self.as_pair is None else self.as_pair
        return np.concatenate([as_pair, np.zeros((len(as_pair), 1))], axis=1)


@dataclass(frozen=True)
class Board:
    """A problem for engines.

    Parameters
    ----------
    students
        Ids by number.
    blocks
        The choices of groups in the order of play.
    affinity
        blocks x blocks, symmetric: what a pair costs that meets in both blocks; the diagonal is what a pair of the
        block costs by itself, because its groups stay for several rounds.
    turn_rounds
        How many rounds with a special place each block stands for.
    turn_kinds
        One entry a block: the number of the kind of its special place; turns of each kind are shared out by themselves.
    turns_before
        Kinds x people: turns in a special place from before the first block.
    constant
        What every plan costs: added to what engines count, so that it is the referee's total.
    hard
        What a breach of a hard rule costs; a seating that costs less has none.
    repeat
        What one repeat costs at least.
    """

    students: tuple[str, ...]
    blocks: tuple[Block, ...]
    affinity: Floats
    turn_rounds: Floats
    turn_kinds: Seats
    turns_before: Floats
    constant: float = 0.0
    hard: float = 1e9
    repeat: float = 1.0

    @property
    def size(self) -> int:
        """How many people."""
        return len(self.students)

    def alone(self, block: Block) -> Board:
        """A board of one block by itself, without turns."""
        return replace(
            self,
            blocks=(block,),
            affinity=np.zeros((1, 1)),
            turn_rounds=np.zeros(1),
            turn_kinds=np.zeros(1, dtype=np.int64),
            turns_before=np.zeros((1, self.size)),
            constant=0.0,
        )

    @cached_property
    def usual_repeat(self) -> float:
        """What a repeat costs on the average: more than ``repeat`` where groups stay for several rounds.

        A pair that meets in blocks of v and of w rounds costs v x w.
        """
        blocks = [self.blocks[number] for number in self.free]
        pairs = [sum(comb(size, 2) for size in block.sizes) for block in blocks]
        rounds = sum(number * len(block.keys) for number, block in zip(pairs, blocks, strict=True))
        return self.repeat * (rounds / sum(pairs)) ** 2 if any(pairs) else self.repeat

    @cached_property
    def free(self) -> tuple[int, ...]:
        """Numbers of the blocks whose seats may change."""
        return tuple(number for number, block in enumerate(self.blocks) if block.free)
