"""Places on cycles, the step that turns them all, and the orbits of pairs under it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import lcm

from grouper.engines.designs.design import Group

Permutation = tuple[int, ...]


@dataclass(frozen=True)
class Turning:
    """The powers of one permutation that moves every place one on along its cycle."""

    cycles: tuple[int, ...]

    @property
    def people(self) -> int:
        """How many places there are."""
        return sum(self.cycles)

    @cached_property
    def order(self) -> int:
        """After so many steps every place is where it was."""
        return lcm(*self.cycles)

    @cached_property
    def step(self) -> Permutation:
        """Where each place goes."""
        moved: list[int] = []
        for length in self.cycles:
            start = len(moved)
            moved += [start + (i + 1) % length for i in range(length)]
        return tuple(moved)

    @cached_property
    def orbit_of(self) -> tuple[tuple[int, ...], ...]:
        """Number of the orbit that the pair (a, b) is in, by a and b; -1 on the diagonal."""
        table = [[-1] * self.people for _ in range(self.people)]
        number = 0
        for a, b in combinations(range(self.people), 2):
            if table[a][b] < 0:
                self._mark(table, a, b, number)
                number += 1
        return tuple(map(tuple, table))

    @cached_property
    def orbit_sizes(self) -> tuple[int, ...]:
        """How many pairs each orbit has."""
        counts = Counter(self.orbit_of[a][b] for a, b in combinations(range(self.people), 2))
        return tuple(counts[number] for number in range(len(counts)))

    def _mark(self, table: list[list[int]], a: int, b: int, number: int) -> None:
        while table[a][b] < 0:
            table[a][b] = table[b][a] = number
            a, b = self.step[a], self.step[b]


def power(permutation: Permutation, exponent: int) -> Permutation:
    """A permutation done ``exponent`` times."""
    result = tuple(range(len(permutation)))
    for _ in range(exponent):
        result = tuple(permutation[place] for place in result)
    return result


def group_orbit(group: Group, generators: tuple[Permutation, ...]) -> frozenset[Group]:
    """All groups that one becomes under permutations and their products."""
    seen = {group}
    waiting = [group]
    while waiting:
        current = waiting.pop()
        for generator in generators:
            moved = tuple(sorted(generator[place] for place in current))
            if moved not in seen:
                seen.add(moved)
                waiting.append(moved)
    return frozenset(seen)
