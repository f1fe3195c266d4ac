"""Base rounds by annealing: swap places between groups of a round until no orbit of pairs is met twice.

For large groups, where there are too many candidates to list, and room to spare. With a twist, all swaps that it
takes one to are made at once, so that the round keeps it: far fewer rounds to look through.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import exp
from random import Random

from design_search.puzzle import Bases, Puzzle
from design_search.seating import first_seats, twist_orbits


@dataclass(frozen=True)
class Climb:
    """Look by annealing at one temperature (in clashes a swap), for so many swaps, from a seed.

    For base rounds that are turned all the way: one that stays the same after fewer steps is not looked for.
    """

    swaps: int = 5_000_000
    temperature: float = 0.25
    seed: int = 1

    def bases(self, puzzle: Puzzle) -> Bases | None:
        """The base rounds, or None where none were found."""
        random = Random(self.seed)
        met = [int(size < puzzle.turning.order) for size in puzzle.turning.orbit_sizes]
        states = [_Round(puzzle, met, random) for _ in puzzle.spans]
        return tuple(state.groups() for state in states) if self._settles(states, random) else None

    def _settles(self, states: list[_Round], random: Random) -> bool:
        draw, people = random.random, states[0].people
        warmth = self.temperature * states[0].around
        clashes = sum(state.clashes for state in states)
        for _ in range(self.swaps):
            if not clashes:
                return True
            state = states[int(draw() * len(states))] if len(states) > 1 else states[0]
            swaps = state.swaps(int(draw() * people), int(draw() * people))
            worse = state.made(swaps)
            if worse > 0 and draw() >= exp(-worse / warmth):
                state.made(reversed(swaps))
            else:
                clashes += worse
        return not clashes


class _Round:
    """A round as a row of seats, and how often each orbit of pairs is met, in this base round or another.

    An orbit shorter than the turning would repeat by itself: it counts as met once from the start.
    """

    def __init__(self, puzzle: Puzzle, met: list[int], random: Random) -> None:
        turning = puzzle.turning
        self.people = turning.people
        ends = [sum(puzzle.sizes[: i + 1]) for i in range(len(puzzle.sizes))]
        self.group_of = [(end - size, end) for end, size in zip(ends, puzzle.sizes, strict=True) for _ in range(size)]
        self.orbit_of = turning.orbit_of
        self.met = met
        orbits = twist_orbits(puzzle.twist or tuple(range(self.people)))
        self.around = max(map(len, orbits))
        self.home = {place: orbit for orbit in orbits for place in orbit}
        self.places = first_seats(orbits, puzzle.sizes, random)
        self.seat_of = [self.places.index(place) for place in range(self.people)]
        self.clashes = sum(self._joins(p, self.places[self.group_of[i][0] : i]) for i, p in enumerate(self.places))

    def groups(self) -> tuple[tuple[int, ...], ...]:
        bounds = dict.fromkeys(self.group_of)
        return tuple(sorted(tuple(sorted(self.places[start:end])) for start, end in bounds))

    def swaps(self, a: int, b: int) -> list[tuple[int, int]]:
        """Swaps of places that keep the twist: of two orbits, from a and b on; or of one orbit, one on around."""
        one, other = self.home[a], self.home[b]
        if one is other:
            return list(pairwise(one))
        if len(one) != len(other):
            return []
        i, j = one.index(a), other.index(b)
        return list(zip(one[i:] + one[:i], other[j:] + other[:j], strict=True))

    def made(self, swaps: Iterable[tuple[int, int]]) -> int:
        """Make the swaps; returns how many more clashes there are."""
        return sum(self._swapped(a, b) for a, b in swaps)

    def _swapped(self, a: int, b: int) -> int:
        here, there = self.seat_of[a], self.seat_of[b]
        more = self._moved(a, here, b, there) if self.group_of[here] != self.group_of[there] else 0
        self.places[here], self.places[there] = b, a
        self.seat_of[a], self.seat_of[b] = there, here
        return more

    def _moved(self, a: int, here: int, b: int, there: int) -> int:
        beside_a = [other for other in self._group(here) if other != a]
        beside_b = [other for other in self._group(there) if other != b]
        fewer = self._leaves(a, beside_a) + self._leaves(b, beside_b)
        return self._joins(b, beside_a) + self._joins(a, beside_b) - fewer

    def _group(self, seat: int) -> list[int]:
        start, end = self.group_of[seat]
        return self.places[start:end]

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
