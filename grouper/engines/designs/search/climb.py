"""Base rounds by annealing: swap two places between groups until no orbit of pairs is met twice.

For large groups, where there are too many candidates to list and room to spare.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from random import Random

from grouper.engines.designs.search.puzzle import Bases, Puzzle


@dataclass(frozen=True)
class Climb:
    """Look by annealing at one temperature: at most so many swaps, from a seed. One base round only."""

    swaps: int = 5_000_000
    temperature: float = 0.25
    seed: int = 1

    def bases(self, puzzle: Puzzle) -> Bases | None:
        """The base round, or None where none was found."""
        state = _Round(puzzle, Random(self.seed))
        return (state.groups(),) if self._settles(state, Random(self.seed)) else None

    def _settles(self, state: _Round, random: Random) -> bool:
        chances = [exp(-worse / self.temperature) for worse in range(100)]
        for _ in range(self.swaps):
            if not state.clashes:
                return True
            here, there = int(random.random() * state.people), int(random.random() * state.people)
            worse = state.swapped(here, there)
            if worse > 0 and random.random() >= chances[min(worse, 99)]:
                state.swapped(here, there)
        return not state.clashes


class _Round:
    """A round as a row of seats, and how often each orbit of pairs is met in it.

    An orbit shorter than the turning would repeat by itself: it counts as met once from the start.
    """

    def __init__(self, puzzle: Puzzle, random: Random) -> None:
        turning = puzzle.turning
        self.people = turning.people
        self.size = puzzle.sizes[0]
        self.orbit_of = turning.orbit_of
        self.met = [int(size < turning.order) for size in turning.orbit_sizes]
        self.seats = list(range(self.people))
        random.shuffle(self.seats)
        self.clashes = sum(self._joins(place, self._table(i)[: i % self.size]) for i, place in enumerate(self.seats))

    def groups(self) -> tuple[tuple[int, ...], ...]:
        return tuple(sorted(tuple(sorted(self._table(start))) for start in range(0, self.people, self.size)))

    def swapped(self, here: int, there: int) -> int:
        """Let the people in two seats change places; returns how many more clashes there are."""
        if here // self.size == there // self.size:
            return 0
        a, b = self.seats[here], self.seats[there]
        beside_a = [other for other in self._table(here) if other != a]
        beside_b = [other for other in self._table(there) if other != b]
        more = -self._leaves(a, beside_a) - self._leaves(b, beside_b)
        more += self._joins(b, beside_a) + self._joins(a, beside_b)
        self.seats[here], self.seats[there] = b, a
        self.clashes += more
        return more

    def _table(self, seat: int) -> list[int]:
        start = seat - seat % self.size
        return self.seats[start : start + self.size]

    def _joins(self, place: int, others: list[int]) -> int:
        clashes = 0
        row, met = self.orbit_of[place], self.met
        for other in others:
            clashes += met[row[other]]
            met[row[other]] += 1
        return clashes

    def _leaves(self, place: int, others: list[int]) -> int:
        clashes = 0
        row, met = self.orbit_of[place], self.met
        for other in others:
            met[row[other]] -= 1
            clashes += met[row[other]]
        return clashes
