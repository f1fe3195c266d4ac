"""Two orthogonal Latin squares of order ten, as four rounds of ten groups of ten.

After E. T. Parker 1959, Orthogonal Latin squares: an array over Z_7 and three further symbols. Its columns are turned
around Z_7; for any two of its rows, the columns in which both have numbers show every difference once. The hundred
places are the columns of the whole array; the groups of a round are the places with one symbol in one row.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product

from grouper.engines.designs.catalogue import BaseRound, Entry
from grouper.engines.designs.design import Group

_MODULUS = 7
_EXTRA = 3
_ROWS = 4
Column = tuple[int | None, ...]


@dataclass(frozen=True)
class Squares:
    """The design of ten groups of ten in four rounds; ``key`` is its short form."""

    key: str = "10x10"

    def entry(self) -> Entry | None:
        """The first that is found, or None."""
        columns = next(_arrays(), None)
        if columns is None:
            return None
        cycles = (_MODULUS,) * len(columns) + (1,) * _EXTRA**2
        bases = tuple(BaseRound(1, _groups(columns, row)) for row in range(_ROWS))
        return Entry((_MODULUS + _EXTRA,) * (_MODULUS + _EXTRA), cycles, bases)


def _arrays() -> Iterator[list[Column]]:
    """Columns of zeros, and three with one gap that are shifted through the rows."""
    gapped = [(None, 0, *rest) for rest in product(range(_MODULUS), repeat=_ROWS - 2)]
    for chosen in combinations(gapped, _EXTRA):
        shifted = [column[-by:] + column[:-by] for column in chosen for by in range(_ROWS)]
        columns: list[Column] = [(0,) * _ROWS, *shifted]
        if all(_shows_every_difference(columns, a, b) for a, b in combinations(range(_ROWS), 2)):
            yield columns


def _shows_every_difference(columns: list[Column], a: int, b: int) -> bool:
    pairs = [(column[a], column[b]) for column in columns]
    differences = [(x - y) % _MODULUS for x, y in pairs if x is not None and y is not None]
    return sorted(differences) == list(range(_MODULUS))


def _groups(columns: list[Column], row: int) -> tuple[Group, ...]:
    """Of each round the group of symbol 0, which is turned into those of 1 to 6, and the three that stay.

    Place 7 c + t is column c turned by t; a gap becomes the next further symbol of its row. The nine places at the
    end hold the further symbols alone: any two of their four rows show every pair of symbols once.
    """
    zero: list[int] = []
    further: list[list[int]] = []
    for number, column in enumerate(columns):
        value, start = column[row], _MODULUS * number
        if value is None:
            further.append(list(range(start, start + _MODULUS)))
        else:
            zero.append(start + -value % _MODULUS)
    for place, (x, y) in enumerate(product(range(_EXTRA), repeat=2), start=_MODULUS * len(columns)):
        further[(x, y, (x + y) % _EXTRA, (x + 2 * y) % _EXTRA)[row]].append(place)
    return (tuple(zero), *map(tuple, further))
