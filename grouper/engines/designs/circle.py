"""Pairs: everyone with everyone, by the circle method (here for the whole house: round robins turn it into games)."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.engines.designs.design import Round, Sizes, largest_first

SOURCE = "circle method (T. P. Kirkman 1847, On a problem in combinations)"


def around(length: int, centre: int) -> list[tuple[int, int]]:
    """The pairs of places across a circle of odd ``length`` from a centre, nearest first; the centre has nobody.

    >>> around(5, 0)
    [(1, 4), (2, 3)]
    """
    return [((centre + i) % length, (centre - i) % length) for i in range(1, (length + 1) // 2)]


def circle_length(sizes: Sizes) -> int:
    """Rounds of pairs, perhaps with one person alone: n - 1 for an even class, n for an odd one."""
    if not sizes or sizes[0] != 2 or set(sizes[:-1]) - {2}:
        return 0
    return sum(sizes) - 1 + (sizes[-1] == 1)


def circle_rounds(sizes: Sizes) -> Iterator[Round]:
    """In each round the places across the circle from its centre meet; the centre meets the middle, or is alone."""
    length = circle_length(sizes)
    middle = [length] if sizes[-1] == 2 else []
    for turn in range(length):
        yield largest_first([*around(length, turn), [turn, *middle]])
