"""Pairs: everyone with everyone, by the circle method."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.engines.designs.design import Round, Sizes, largest_first

SOURCE = "circle method (T. P. Kirkman 1847, On a problem in combinations)"


def circle_length(sizes: Sizes) -> int:
    """Rounds of pairs, perhaps with one person alone: n - 1 for an even class, n for an odd one."""
    if not sizes or sizes[0] != 2 or set(sizes[:-1]) - {2}:
        return 0
    return sum(sizes) - 1 + (sizes[-1] == 1)


def circle_rounds(sizes: Sizes) -> Iterator[Round]:
    """In round r the places r + i and r - i on a circle meet; r itself meets the middle, or is alone."""
    length = circle_length(sizes)
    middle = [length] if sizes[-1] == 2 else []
    for turn in range(length):
        across = [((turn + i) % length, (turn - i) % length) for i in range(1, (length + 1) // 2)]
        yield largest_first([*across, [turn, *middle]])
