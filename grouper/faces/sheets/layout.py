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

    A break after all rows means that what comes below them has a page of its own.

    Examples
    --------
    >>> lay_out([2.0, 2.0, 2.0, 2.0], 0.0, 6.0)
    Layout(pages=2, breaks=(2,), air=6)
    """
    things = [*rows, last] if last else list(rows)
    if any(thing > room for thing in things):
        return NOWHERE
    pages = len(_filled(things, room))
    ends = _filled(things, _least_room(things, room, pages))
    spaces = [_space(rows, last, start, end, room) for start, end in pairwise((0, *ends))]
    air = int(min(AIR_STEPS, CAREFUL * max(0.0, min(spaces, default=0.0)) / AIR_STEP))
    return Layout(pages, tuple(ends[:-1]), air)


def in_columns(heights: Sequence[float], columns: int) -> float:
    """About the height of the highest column, where things of these heights run down columns of even height.

    Examples
    --------
    >>> round(in_columns([1.0, 1.0, 1.0], 2), 2)
    2.0
    """
    return _least_room(heights, sum(heights), columns)


def _space(rows: Sequence[float], last: float, start: int, end: int, room: float) -> float:
    """How much room a page leaves above and below each of its rows; no limit on a page without rows."""
    on_page = rows[start:end]
    below = last if end > len(rows) else 0.0
    return (room - sum(on_page) - below) / (2 * len(on_page)) if on_page else float("inf")


def _filled(things: Sequence[float], room: float) -> list[int]:
    """After how many things each page ends, the last page too, when each is filled before the next is begun."""
    ends, left = [], room
    for place, thing in enumerate(things):
        if thing > left:
            ends.append(place)
            left = room
        left -= thing
    return [*ends, len(things)]


def _least_room(things: Sequence[float], room: float, pages: int) -> float:
    """About the least height of a page that makes do with so many pages: it spreads things evenly."""
    low, high = max(things, default=0.0), room
    if len(_filled(things, low)) <= pages:
        return low
    for _ in range(14):
        middle = (low + high) / 2
        low, high = (low, middle) if len(_filled(things, middle)) <= pages else (middle, high)
    return high
