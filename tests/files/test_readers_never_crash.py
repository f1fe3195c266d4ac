"""Whatever a file holds, a reader gives a reading or an InputError with troubles, never another error."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from table_files import workbook_file

from grouper.errors import InputError
from grouper.files.groups import read_groups
from grouper.files.lessons import read_lessons
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.writing import write_template
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit

ROSTER = Roster((Student("1", "Ana"), Student("2", "Ben")), ("skill",))
UNIT = Unit((Lesson(1, (Activity("Passing", size=2),)),))
READERS: dict[str, Callable[[Path], object]] = {
    "roster": read_roster,
    "lessons": lambda path: read_lessons(path, ROSTER),
    "requests": lambda path: read_requests(path, ROSTER),
    "groups": lambda path: read_groups(path, ClassRecord(ROSTER, UNIT)),
}
LIKELY = (
    "id;name;given;Name;skill;lesson;activity;size;groups;aim;kind;student;other;group;round;date;1;2;-3;4,5;x;Ana;Ben;"
    "Silva, Ana;apart;stay;coaching;balanced;Passing;;;;'=1;\u200b;Total;1/2/2026;1e400;²;٣;student_id;availability;"
    "yes"
)
CELLS = st.sampled_from(LIKELY.split(";")) | st.text(max_size=4)


def read_or_refuse(reader: str, data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "any.csv"
        path.write_bytes(data)
        try:
            READERS[reader](path)
        except InputError as error:
            assert error.troubles
            assert all(trouble.message and trouble.remedy for trouble in error.troubles)


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(sorted(READERS)), st.binary(max_size=60))
def test_any_bytes(reader: str, data: bytes) -> None:
    """Random bytes."""
    read_or_refuse(reader, data)


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(sorted(READERS)),
    st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=6),
    st.sampled_from(",;\t|"),
    st.sampled_from(["utf-8", "utf-16", "utf-16-le", "utf-8-sig"]),
)
def test_any_table_of_likely_cells(reader: str, rows: list[list[str]], delimiter: str, encoding: str) -> None:
    """Random tables of headers and values that the readers know."""
    read_or_refuse(reader, "\n".join(delimiter.join(row) for row in rows).encode(encoding, "replace"))


@pytest.mark.parametrize("reader", ["roster", "lessons", "requests"])
def test_a_damaged_workbook(reader: str, tmp_path: Path) -> None:
    """A workbook with a stretch of bytes overwritten, at many places."""
    path = tmp_path / "template.xlsx"
    write_template(path)
    data = path.read_bytes()
    for start in range(0, len(data), max(1, len(data) // 25)):
        read_or_refuse(reader, data[:start] + b"\xff" * 40 + data[start + 40 :])


def test_odd_cells_of_a_workbook(tmp_path: Path) -> None:
    """Errors, texts of white space and very long numbers in cells are read or refused."""
    rows = [["id", "name", "skill"], [1, "Ana", "#N/A"], [2, "  ", 10**30], [1e-9, "Ben", "#DIV/0!"]]
    read_or_refuse("roster", workbook_file(tmp_path, {"7b": rows}).read_bytes())
