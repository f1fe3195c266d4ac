"""The template: a workbook with a sheet each for roster, lessons and requests; and which of them a file holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

from grouper.files.atomic import write_whole
from grouper.files.opening import looks_like_lessons, looks_like_requests, looks_like_roster, open_file, read_sheets
from grouper.files.roster_rows import EXAMPLE_IDS
from grouper.files.words.headers import ROSTER_SHEETS

ROSTER_ROWS = (
    ("student_id", "name", "skill", "stamina", "size_band", "availability"),
    (EXAMPLE_IDS[0], "Example One", 3, 4, "M", ""),
    (EXAMPLE_IDS[1], "Example Two", 2, 5, "", ""),
)
"""Two examples, as a request needs two students."""

LESSON_ROWS = (
    (
        "lesson",
        "date",
        "activity",
        "size",
        "groups",
        "rounds",
        "minutes",
        "aim",
        "strand",
        "min_gap",
        "max_gap",
        "caution",
    ),
    (1, "", "Passing in pairs", 2, "", 3, 4, "fresh", "", "", "", ""),
)
REQUEST_ROWS = (
    ("kind", "student", "other", "first_lesson", "last_lesson"),
    ("apart", *EXAMPLE_IDS, 2, 3),
)
_SHEETS = {"roster": ROSTER_ROWS, "lessons": LESSON_ROWS, "requests": REQUEST_ROWS}


@dataclass(frozen=True)
class Contents:
    """Which of the three tables a file holds."""

    roster: bool
    lessons: bool
    requests: bool


def contents_of(path: Path) -> Contents:
    """Which of the three tables a workbook holds; any other file holds none but what it is read for.

    Raises
    ------
    InputError
        The file cannot be opened.
    """
    opened = open_file(path)
    if opened.kind != "workbook":
        return Contents(False, False, False)
    sheets = read_sheets(opened, lambda cells: 0)
    return Contents(
        any(looks_like_roster(sheet) or bool(ROSTER_SHEETS.meaning(sheet.title)) for sheet in sheets),
        any(looks_like_lessons(sheet) for sheet in sheets),
        any(looks_like_requests(sheet) for sheet in sheets),
    )


def write_template(path: Path) -> None:
    """Write a workbook with the three sheets, their headers, and examples to type over.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    write_workbook(path, _SHEETS)


def write_workbook(path: Path, tables: Mapping[str, Sequence[tuple[Any, ...]]]) -> None:
    """Write a workbook with a sheet a table, by title; the first row of each is its headers.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    from openpyxl import Workbook

    workbook = Workbook()
    workbook.remove(workbook.active)
    for title, rows in tables.items():
        sheet = workbook.create_sheet(title)
        _fill(sheet, rows)
        for row in sheet.iter_rows():
            for cell in row:
                # A text that begins with '=' is a name or a note here, never a formula.
                if isinstance(cell.value, str):
                    cell.data_type = "s"
    data = BytesIO()
    workbook.save(data)
    write_whole(Path(path), data.getvalue())


def _fill(sheet: Any, rows: Sequence[tuple[Any, ...]]) -> None:
    from openpyxl.styles import Font

    for row in rows:
        sheet.append([cell if cell != "" else None for cell in row])
    for cell in sheet[1]:
        cell.font = Font(bold=True)
        sheet.column_dimensions[cell.column_letter].width = max(12, len(str(cell.value)) + 4)
    sheet.freeze_panes = "A2"
