"""What base rounds must be: places, symmetry, and what may stand in a round."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from design_search.symmetry import Permutation, Turning, group_orbit, power
from grouper.engines.designs.design import Group, Sizes

Bases = tuple[tuple[Group, ...], ...]
"""The groups of each base round."""


@dataclass(frozen=True)
class Candidate:
    """Groups that stand in a base round together, or not at all, and the pair orbits that they use up."""

    groups: tuple[Group, ...]
    places: tuple[int, ...]
    orbits: tuple[int, ...]


@dataclass(frozen=True)
class Puzzle:
    """Base rounds to find.

    Parameters
    ----------
    sizes
        Group sizes of every round.
    turning
        The symmetry.
    spans
        For each base round, how many rounds it stands for: the order of the turning, or a divisor d of it where
        the base round is to stay the same when it is moved by d steps.
    twist
        A permutation that takes every base round which is turned all the way to itself, or none. It makes the
        puzzle smaller.
    """

    sizes: Sizes
    turning: Turning
    spans: tuple[int, ...]
    twist: Permutation | None = None

    def candidates(self, span: int) -> list[Candidate]:
        """Everything that may stand in a base round for so many rounds."""
        still = power(self.turning.step, span)
        generators = (still, self.twist) if self.twist and span == self.turning.order else (still,)
        found: dict[frozenset[Group], Candidate] = {}
        seen: set[Group] = set()
        for size in sorted(set(self.sizes)):
            for group in self._groups(size, (), 0):
                if group not in seen:
                    orbit = group_orbit(group, generators)
                    seen |= orbit
                    candidate = self._candidate(orbit, span, still)
                    if candidate:
                        found[orbit] = candidate
        return sorted(found.values(), key=lambda candidate: candidate.groups)

    def _groups(self, size: int, chosen: Group, start: int) -> Iterator[Group]:
        """Groups in which no full orbit of pairs is met twice."""
        if len(chosen) == size:
            yield chosen
            return
        for place in range(start, self.turning.people):
            if self._fits(chosen, place):
                yield from self._groups(size, (*chosen, place), place + 1)

    def _fits(self, chosen: Group, place: int) -> bool:
        if self.turning.order % 2 == 0 or len(self.spans) > 1:
            return True
        row = self.turning.orbit_of
        used = {row[a][b] for a, b in combinations(chosen, 2)}
        new = [row[place][a] for a in chosen]
        return len(set(new)) == len(new) and not used.intersection(new)

    def _candidate(self, orbit: frozenset[Group], span: int, still: Permutation) -> Candidate | None:
        groups = tuple(sorted(orbit))
        places = [place for group in groups for place in group]
        if len(set(places)) < len(places):
            return None
        meetings = Counter(self.turning.orbit_of[a][b] for group in groups for a, b in combinations(group, 2))
        sizes = self.turning.orbit_sizes
        if any(span * count > sizes[number] for number, count in meetings.items()):
            return None
        return Candidate(groups, tuple(places), tuple(sorted(meetings)))
