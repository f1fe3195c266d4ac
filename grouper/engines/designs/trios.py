"""Pairs in an odd class: one trio a round, and all three of it meet."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import combinations

from grouper.engines.designs.design import Group, Round, Sizes, largest_first

SOURCE = "patterned starter with one trio (after R. C. Mullin & E. Nemeth 1969, On furnishing Room squares)"
_OUTSIDE = 4
"""Fixed places outside the circle: they never meet one another, which are just the six pairs that pair counting
leaves over when there are n - 4 rounds."""


def trio_length(sizes: Sizes) -> int:
    """Rounds for sizes 3, 2, 2, ...: n - 4 of them where a starter exists, else 0."""
    if len(sizes) < 2 or sizes[0] != 3 or set(sizes[1:]) != {2}:
        return 0
    circle = sum(sizes) - _OUTSIDE
    return circle if circle > _OUTSIDE and _trio_starter(circle) else 0


def trio_rounds(sizes: Sizes) -> Iterator[Round]:
    """The base round, turned step by step around the circle; the four outside stay where they are."""
    circle = trio_length(sizes)
    for turn in range(circle):
        groups = [[(place + turn) % circle for place in group] for group in _trio_starter(circle)]
        singles = [group for group in groups if len(group) == 1]
        outside = [[*single, circle + i] for i, single in enumerate(singles)]
        yield largest_first([*(group for group in groups if len(group) > 1), *outside])


@cache
def _trio_starter(circle: int) -> tuple[Group, ...]:
    """A trio, four singles and pairs on a circle of odd length, in which every distance appears once.

    The pairs (i, -i) have every distance once. Three of them and 0 are taken apart and made into the trio, whose
    distances must be those set free, and the four singles.
    """
    half = range(1, (circle + 1) // 2)
    for opened in combinations(half, 3):
        free = {_distance(i, -i, circle) for i in opened}
        loose = [0, *opened, *((-i) % circle for i in opened)]
        for trio in combinations(loose, 3):
            if {_distance(a, b, circle) for a, b in combinations(trio, 2)} == free:
                pairs = [(i, circle - i) for i in half if i not in opened]
                return (trio, *((place,) for place in loose if place not in trio), *pairs)
    return ()


def _distance(a: int, b: int, circle: int) -> int:
    return min((a - b) % circle, (b - a) % circle)
