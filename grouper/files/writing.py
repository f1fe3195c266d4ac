"""Tables out: rows as CSV (RFC 4180), every cell guarded, or as the sheets of a workbook; and the template."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from io import BytesIO
from pathlib import Path
from typing import Any

from grouper.files.atomic import write_whole
from grouper.files.cells import guard
from grouper.files.roster_rows import EXAMPLE_IDS
from grouper.model.play import Event
from grouper.model.texts import shown


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """The rows as CSV with commas and line ends as RFC 4180 has them, clean and guarded against formulas."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([guard(shown(cell)) for cell in row] for row in rows)
    return text.getvalue()


def write_csv(path: Path, rows: Iterable[Sequence[str]]) -> None:
    """Write the rows as CSV in UTF-8, whole or not at all.

    There is no byte order mark: programs that do not know it read it as part of the first header.
    """
    write_whole(Path(path), csv_text(rows).encode("utf-8"))


GAMES_HEADERS = ("slot", "court", "home", "away", "duty")
STATIONS_HEADERS = ("slot", "station", "group")
STANDINGS_HEADERS = (
    "rank", "team", "played", "won", "drawn", "lost", "scored", "conceded", "bonus", "penalty", "points"
)  # fmt: skip


def write_event(path: Path, event: Event) -> None:
    """Write games, a row a game (``duty`` is empty where nobody officiates), or a circuit, a row a group a slot.

    Teams, groups, courts and stations go by their numbers.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    if event.is_games:
        rows = [(*game.spot, *game.teams, game.duty or "") for game in event.assignments]
        _write(path, GAMES_HEADERS, rows)
    else:
        visits = [(*one.spot, group) for one in event.assignments for group in one.teams]
        _write(path, STATIONS_HEADERS, visits)


def write_pair_games(path: Path, games: Iterable[tuple[int, int, tuple[int, int], tuple[int, int]]]) -> None:
    """Write games of two against two, in the same columns: slot, court, and the players of each side, as in ``1+4``."""
    rows = ((slot, court, "+".join(map(str, home)), "+".join(map(str, away)), "") for slot, court, home, away in games)
    _write(path, GAMES_HEADERS, rows)


def write_standings(path: Path, rows: Iterable[Sequence[str]]) -> None:
    """Write rows of texts in the order of the headers; a label of a team that a spreadsheet could run is guarded.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    _write(path, STANDINGS_HEADERS, rows)


def _write(path: Path, headers: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    write_csv(path, [headers, *(tuple(map(str, row)) for row in rows)])


ROSTER_ROWS = (
    ("student_id", "name", "skill", "stamina", "size_band", "availability"),
    (EXAMPLE_IDS[0], "Example One", 3, 4, "M", ""),
    (EXAMPLE_IDS[1], "Example Two", 2, 5, "", ""),
)
"""Two examples, as a request needs two students."""

LESSON_ROWS = (
    (
        *("lesson", "date", "activity", "size", "groups", "rounds", "minutes"),
        *("aim", "strand", "min_gap", "max_gap", "caution", "sides", "edge"),
    ),
    (1, "", "Passing in pairs", 2, "", 3, 4, "fresh", "", "", "", "", "", ""),
    (1, "", "Attack against defence", "", "", 2, 6, "fresh", "", "", "", "", "5+3", ""),
)
REQUEST_ROWS = (
    ("kind", "student", "other", "first_lesson", "last_lesson"),
    ("apart", *EXAMPLE_IDS, 2, 3),
)
_SHEETS = {"roster": ROSTER_ROWS, "lessons": LESSON_ROWS, "requests": REQUEST_ROWS}


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
    from openpyxl.styles import Font

    workbook = Workbook()
    workbook.remove(workbook.active)
    for title, rows in tables.items():
        sheet = workbook.create_sheet(title)
        for row in rows:
            sheet.append([cell if cell != "" else None for cell in row])
        for cell in sheet[1]:
            cell.font = Font(bold=True)
            sheet.column_dimensions[cell.column_letter].width = max(12, len(str(cell.value)) + 4)
        sheet.freeze_panes = "A2"
        for cells in sheet.iter_rows():
            for cell in cells:
                # A text that begins with '=' is a name or a note here, never a formula.
                if isinstance(cell.value, str):
                    cell.data_type = "s"
    data = BytesIO()
    workbook.save(data)
    write_whole(Path(path), data.getvalue())
