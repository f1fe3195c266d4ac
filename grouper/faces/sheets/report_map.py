"""The map of meetings as a drawing to be printed: cut into blocks where a class is too large for one page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.faces.sheets.text_width import text_width
from grouper.faces.views.meetings import Meeting, MeetingMap

SIDE = 20.0
"""A place of the map; all lengths of a drawing are in its own units."""

TYPE = 12.5
ROOM = 150.0
"""Most room for a name; a longer one is set narrower."""

WIDEST = 186.0
"""Millimetres between the margins of A4; Letter is wider."""

LARGEST = 0.27
"""Millimetres a unit, at most: places of 5.4 mm and figures of 9 point."""

ON_A_PAGE = 36
"""More rows or columns than these would be too small to read."""


@dataclass(frozen=True)
class Label:
    """A name at the edge; ``length`` is what it has to be squeezed into, None where it fits."""

    text: str
    at: float
    length: float | None


@dataclass(frozen=True)
class Place:
    """A place where two have met."""

    x: float
    y: float
    meeting: Meeting


@dataclass(frozen=True)
class Block:
    """Some rows by some columns, the size of the drawing in units and its width in millimetres."""

    rows: tuple[Label, ...]
    columns: tuple[Label, ...]
    places: tuple[Place, ...]
    selves: tuple[tuple[float, float], ...]
    edge: float
    width: float
    height: float
    millimetres: float
    said: str


def map_blocks(shown: MeetingMap) -> tuple[Block, ...]:
    """The drawings; where there are several, each two students are on one of them."""
    parts = list(_parts(len(shown.lines)))
    edge = min(ROOM, max((TYPE * text_width(line.name) for line in shown.lines), default=0.0)) + 12
    return tuple(_block(shown, rows, columns, edge) for place, rows in enumerate(parts) for columns in parts[place:])


def _parts(people: int) -> Iterator[range]:
    """Rows in parts of nearly one size."""
    count = -(-people // ON_A_PAGE)
    for part in range(count):
        yield range(part * people // count, (part + 1) * people // count)


def _block(shown: MeetingMap, rows: range, columns: range, edge: float) -> Block:
    width, height = edge + len(columns) * SIDE + 2, edge + len(rows) * SIDE + 2
    return Block(
        tuple(_label(shown, row, rows, edge) for row in rows),
        tuple(_label(shown, column, columns, edge) for column in columns),
        tuple(
            Place(edge + (m.column - columns.start) * SIDE, edge + (m.row - rows.start) * SIDE, m)
            for m in shown.meetings
            if m.row in rows and m.column in columns
        ),
        tuple(
            (edge + (one - columns.start) * SIDE, edge + (one - rows.start) * SIDE) for one in rows if one in columns
        ),
        edge,
        width,
        height,
        round(min(WIDEST, width * LARGEST), 1),
        _said(shown, rows, columns),
    )


def _label(shown: MeetingMap, line: int, among: range, edge: float) -> Label:
    name = shown.lines[line].name
    return Label(name, edge + (line - among.start) * SIDE, ROOM if TYPE * text_width(name) > ROOM else None)


def _said(shown: MeetingMap, rows: range, columns: range) -> str:
    if len(rows) == len(shown.lines):
        return ""
    return f"{_ends(shown, rows)} with {_ends(shown, columns)}"


def _ends(shown: MeetingMap, part: range) -> str:
    return f"{shown.lines[part[0]].name} to {shown.lines[part[-1]].name}"
