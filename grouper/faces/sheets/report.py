"""The report of a unit and all that is held on a student, as pages; with a map of who has worked with whom."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from grouper.errors import require
from grouper.faces.sheets.geometry import text_width
from grouper.faces.sheets.pages import page_html, put_sheets
from grouper.faces.views.evidence import Meeting, MeetingMap
from grouper.faces.views.report_student import fact_tables, student_report
from grouper.faces.views.report_view import nameless_view, report_view
from grouper.model.record import ClassRecord
from grouper.privacy.own_data import Facts
from grouper.words import Remedy

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
    people = len(shown.lines)
    # Rows in parts of nearly one size.
    count = -(-people // ON_A_PAGE)
    parts = [range(part * people // count, (part + 1) * people // count) for part in range(count)]
    # One edge for all drawings, so that places are as large on each of them.
    edge = min(ROOM, max((TYPE * text_width(line.name) for line in shown.lines), default=0.0)) + 12
    return tuple(_block(shown, rows, columns, edge) for place, rows in enumerate(parts) for columns in parts[place:])


def _block(shown: MeetingMap, rows: range, columns: range, edge: float) -> Block:
    names = [line.name for line in shown.lines]

    def at(line: int, among: range) -> float:
        return edge + (line - among.start) * SIDE

    def labels(among: range) -> tuple[Label, ...]:
        fit = (ROOM if TYPE * text_width(names[line]) > ROOM else None for line in among)
        return tuple(Label(names[line], at(line, among), length) for line, length in zip(among, fit, strict=True))

    here = (m for m in shown.meetings if m.row in rows and m.column in columns)
    row_names, column_names = (f"{names[part[0]]} to {names[part[-1]]}" for part in (rows, columns))
    width = edge + len(columns) * SIDE + 2
    return Block(
        labels(rows),
        labels(columns),
        tuple(Place(at(m.column, columns), at(m.row, rows), m) for m in here),
        tuple((at(one, columns), at(one, rows)) for one in rows if one in columns),
        edge,
        width,
        edge + len(rows) * SIDE + 2,
        round(min(WIDEST, width * LARGEST), 1),
        "" if len(rows) == len(names) else f"{row_names} with {column_names}",
    )


def report_text(record: ClassRecord, title: str, whole: bool = False, with_names: bool = True) -> str:
    """The report as HTML, over the lessons taught or over the whole unit (InputError where there are no groups yet)."""
    require(bool(record.plan.rounds), "there are no groups to report on yet", Remedy.MAKE_GROUPS)
    view = report_view(record, title, whole) if with_names else nameless_view(record, whole)
    blocks = map_blocks(view.evidence.map) if view.with_map else ()
    return page_html("report.html", "report.css", view=view, blocks=blocks)


def student_text(record: ClassRecord, student: str, title: str, whole: bool = False, ratings: bool = False) -> str:
    """One student's page as HTML, for the parents; ``student`` is an id (InputError where there are no groups yet)."""
    require(bool(record.plan.rounds), "there are no groups to report on yet", Remedy.MAKE_GROUPS)
    view = student_report(record, student, title, whole, ratings)
    return page_html("report_student.html", "report.css", view=view)


def own_data_text(facts: Facts) -> str:
    """What a class file holds on one student, as HTML, a table for each kind of facts."""
    return page_html("report_own_data.html", "report.css", facts=facts, tables=fact_tables(facts))


def write_page(text: str, path: Path) -> None:
    """Put a page in its place in one step (InputError where its folder can't be written to)."""
    what, example = "'{path}' is a folder", path / "report.html"
    require(not path.is_dir(), what, "give a name for the file in it, such as {example}", path=path, example=example)
    put_sheets({path: text}, path.parent)
