"""Rows over pages: as few pages as can be, evenly filled, with what is left over as air between the rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from grouper.faces.sheets.geometry import AIR_STEP, AIR_STEPS

CAREFUL = 0.85
"""The share of the room left over that is given away as air: fonts differ, and an overfull page costs a page."""


@dataclass(frozen=True)
class Layout:
    """How many pages, after which rows (counted from 1) a page ends, and steps of air above and below each row."""

    pages: int
    breaks: tuple[int, ...] = ()
    air: int = 0


NOWHERE = Layout(999)
"""The layout of rows of which one is higher than a page."""


def lay_out(rows: Sequence[float], last: float, room: float) -> Layout:
    """Lay out rows of these heights on pages of this room, and something of height ``last`` below the last of them.

    Examples
    --------
    >>> lay_out([2.0, 2.0, 2.0, 2.0], 0.0, 6.0)
    Layout(pages=2, breaks=(2,), air=6)
    """
    if any(row > room for row in (*rows, last)):
        return NOWHERE
    pages = len(_filled(rows, last, room))
    ends = _filled(rows, last, _least_room(rows, last, room, pages))
    starts = (0, *(end for end in ends))
    spaces = [(room - _height(rows, last, one, other)) / (2 * max(1, other - one)) for one, other in pairwise(starts)]
    air = int(CAREFUL * max(0.0, min(spaces, default=0.0)) / AIR_STEP)
    return Layout(pages, tuple(ends[:-1]), min(AIR_STEPS, air))


def in_columns(heights: Sequence[float], columns: int) -> float:
    """About the height of the highest column, where things of these heights run down columns of even height.

    Examples
    --------
    >>> round(in_columns([1.0, 1.0, 1.0], 2), 2)
    2.0
    """
    return _least_room(heights, 0.0, sum(heights), columns)


def _height(rows: Sequence[float], last: float, start: int, end: int) -> float:
    return sum(rows[start:end]) + (last if end == len(rows) else 0.0)


def _filled(rows: Sequence[float], last: float, room: float) -> list[int]:
    """After how many rows each page ends, the last page too, when each is filled before the next is begun."""
    ends, left = [], room
    for place, row in enumerate((*rows[:-1], (rows[-1] if rows else 0.0) + last)):
        if row > left and place:
            ends.append(place)
            left = room
        left -= row
    return [*ends, len(rows)]


def _least_room(rows: Sequence[float], last: float, room: float, pages: int) -> float:
    """About the least height of a page that makes do with so many pages: it spreads the rows evenly."""
    low, high = 0.0, room
    for _ in range(16):
        middle = (low + high) / 2
        fits = max((*rows, last), default=0.0) <= middle and len(_filled(rows, last, middle)) <= pages
        low, high = (low, middle) if fits else (middle, high)
    return high
