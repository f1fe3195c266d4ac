"""The report of a unit and all that is held on a student, as pages; with a map of who has worked with whom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from grouper.errors import InputError
from grouper.faces.sheets.geometry import text_width
from grouper.faces.sheets.pages import page_html, template_text
from grouper.faces.sheets.write import put_sheets
from grouper.faces.views.evidence import Meeting, MeetingMap
from grouper.faces.views.look import look_css
from grouper.faces.views.report_student import StudentReport, fact_tables, student_report
from grouper.faces.views.report_view import ReportView, nameless_view, report_view
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


def report_page(view: ReportView) -> str:
    """The report on a class."""
    blocks = map_blocks(view.evidence.map) if view.with_map else ()
    return page_html("report.html", _style(), view=view, blocks=blocks)


def student_page(view: StudentReport) -> str:
    """One student's page."""
    return page_html("report_student.html", _style(), view=view)


def own_data_page(facts: Facts) -> str:
    """What is held on one student, a table for each kind of facts."""
    return page_html("report_own_data.html", _style(), facts=facts, tables=fact_tables(facts))


def _style() -> str:
    return look_css() + template_text("report.css")


def report_text(record: ClassRecord, title: str, whole: bool = False, with_names: bool = True) -> str:
    """The report as HTML, over the lessons taught or over the whole unit.

    Raises
    ------
    InputError
        There are no groups yet.
    """

    _check_planned(record)
    return report_page(report_view(record, title, whole) if with_names else nameless_view(record, whole))


def student_text(record: ClassRecord, student: str, title: str, whole: bool = False, ratings: bool = False) -> str:
    """One student's page as HTML, for the parents; ``student`` is an id.

    Raises
    ------
    InputError
        There are no groups yet.
    """

    _check_planned(record)
    return student_page(student_report(record, student, title, whole, ratings))


def own_data_text(facts: Facts) -> str:
    """What a class file holds on one student, as HTML."""

    return own_data_page(facts)


def write_page(text: str, path: Path) -> None:
    """Put a page in its place in one step (InputError where its folder can't be written to)."""
    if path.is_dir():
        raise InputError(
            "'{path}' is a folder",
            "give a name for the file in it, such as {example}",
            path=path,
            example=path / "report.html",
        )
    put_sheets({path: text}, path.parent)


def _check_planned(record: ClassRecord) -> None:
    if not record.plan.rounds:
        raise InputError("there are no groups to report on yet", Remedy.MAKE_GROUPS)
