"""Files for the tests of readers, built from lines or rows."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from grouper.errors import InputError, Trouble
from grouper.files.cells import number_text
from grouper.files.roster import RosterReading, read_roster
from grouper.files.writing import write_csv
from grouper.model.roster import Roster


def text_file(folder: Path, text: str, encoding: str = "utf-8", name: str = "7b.csv") -> Path:
    """A text file in an encoding."""
    path = folder / name
    path.write_bytes(text.encode(encoding))
    return path


def roster_of(folder: Path, *lines: str, encoding: str = "utf-8") -> RosterReading:
    """The reading of a roster of these lines."""
    return read_roster(text_file(folder, "\r\n".join(lines) + "\r\n", encoding))


def troubles_of(folder: Path, *lines: str) -> tuple[Trouble, ...]:
    """The troubles of a roster of these lines."""
    with pytest.raises(InputError) as caught:
        roster_of(folder, *lines)
    assert caught.value.troubles
    return caught.value.troubles


def delimited(rows: Iterable[Sequence[str]], delimiter: str) -> str:
    """Rows as delimited text."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue()


def workbook_file(folder: Path, sheets: dict[str, list[list[Any]]], name: str = "7b.xlsx") -> Path:
    """A workbook with these sheets; a cell may be a pair of a value and a number format."""
    workbook = Workbook()
    workbook.remove(workbook.active)
    for title, rows in sheets.items():
        sheet = workbook.create_sheet(title)
        for row_number, row in enumerate(rows, start=1):
            for place, cell in enumerate(row, start=1):
                value, shape = cell if isinstance(cell, tuple) else (cell, "General")
                sheet.cell(row_number, place, value).number_format = shape
    path = folder / name
    workbook.save(path)
    return path


def zip_file(folder: Path, members: dict[str, str], name: str = "school.zip") -> Path:
    """A zip of text files."""
    path = folder / name
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for member, text in members.items():
            archive.writestr(member, text)
    return path


def names(reading: RosterReading) -> list[str]:
    """The names of a roster in order."""
    return [student.name for student in reading.roster.students]


def notes(reading: Any, kind: str) -> str:
    """All notes of a kind as one text."""
    return "\n".join(str(note) for note in reading.notes if note.kind == kind)


def write_roster(path: Path, roster: Roster) -> None:
    """The students who have not left, with ids, names, ratings, size bands and availability, by the writer of CSV."""
    header = ("student_id", "name", *roster.strands, "size_band", "availability")
    rows = [header]
    for student in roster.active:
        ratings = (number_text(student.ratings[s]) if s in student.ratings else "" for s in roster.strands)
        rows.append((student.id, student.name, *ratings, student.size_band, student.availability))
    write_csv(path, rows)
