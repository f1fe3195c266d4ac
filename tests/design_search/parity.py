"""Linear equations modulo 2, by elimination on whole numbers as rows of bits."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import TypeVar

Name = TypeVar("Name", bound=Hashable)


def solution(equations: Sequence[tuple[Sequence[Name], int]]) -> dict[Name, int] | None:
    """Values 0 or 1 for all names, so that each equation's names sum to its parity; None where there are none.

    Names that may be either are 0. Cubic in the number of equations.

    Examples
    --------
    >>> solution([(("a", "b"), 1), (("b",), 1)])
    {'a': 0, 'b': 1}
    >>> solution([(("a", "b"), 1), (("a", "b"), 0)]) is None
    True
    """
    names = list(dict.fromkeys(name for sides, _ in equations for name in sides))
    bit = {name: 1 << i for i, name in enumerate(names)}
    parity_bit = 1 << len(names)
    pivots: dict[int, int] = {}
    for sides, parity in equations:
        row = parity_bit * parity
        for name in sides:
            row ^= bit[name]
        row = _reduced(row, pivots)
        if row == parity_bit:
            return None
        if row:
            pivots[row & -row] = row
    return dict(zip(names, _back_from(pivots, parity_bit, len(names)), strict=True))


def _reduced(row: int, pivots: dict[int, int]) -> int:
    """The row without leading bits that are pivots already."""
    while row & -row in pivots:
        row ^= pivots[row & -row]
    return row


def _back_from(pivots: dict[int, int], parity_bit: int, count: int) -> list[int]:
    ones = 0
    for lead in sorted(pivots, reverse=True):
        row = pivots[lead]
        value = ((row & ones & (parity_bit - 1)).bit_count() + bool(row & parity_bit)) % 2
        ones |= lead * value
    return [ones >> i & 1 for i in range(count)]
