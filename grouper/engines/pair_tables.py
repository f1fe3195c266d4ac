"""What pairs cost in a block, and which are barred or glued: one table for all blocks of which the same was said.

A table of n people takes 10 n^2 bytes, 10 MB for 1,000; twenty rounds under the same requests hold one between them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from grouper.engines.board import Flags, Floats, Seats


@dataclass(frozen=True)
class PairPart:
    """What one term says of pairs: the numbers of the two, what they cost, and ``barred``, ``glued`` or no mark."""

    ones: Seats
    others: Seats
    amounts: Floats
    mark: str = ""


@dataclass(frozen=True)
class PairTable:
    """People x people, symmetric, not to be written to: the sum of some parts."""

    pair_cost: Floats
    barred: Flags
    glued: Flags


class PairTables:
    """The parts that were said, and the tables that they add up to."""

    def __init__(self, people: int) -> None:
        self.people = people
        self._parts: list[PairPart] = []
        self._made: dict[tuple[int, ...], PairTable] = {}

    def add(self, part: PairPart) -> int:
        """Remember a part; its number is what ``table`` asks for."""
        self._parts.append(part)
        return len(self._parts) - 1

    def table(self, numbers: Iterable[int]) -> PairTable:
        """The table of the parts with these numbers; a part that is named twice counts twice."""
        wanted = tuple(sorted(numbers))
        if wanted not in self._made:
            self._made[wanted] = self._sum([self._parts[number] for number in wanted])
        return self._made[wanted]

    def _sum(self, parts: list[PairPart]) -> PairTable:
        cost = np.zeros((self.people, self.people))
        marks = {mark: np.zeros((self.people, self.people), dtype=np.bool_) for mark in ("barred", "glued")}
        for part in parts:
            np.add.at(cost, (part.ones, part.others), part.amounts)
            np.add.at(cost, (part.others, part.ones), part.amounts)
            if part.mark:
                marks[part.mark][part.ones, part.others] = marks[part.mark][part.others, part.ones] = True
        for array in (cost, *marks.values()):
            array.flags.writeable = False
        return PairTable(cost, marks["barred"], marks["glued"])
