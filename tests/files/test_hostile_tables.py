"""Tables made to hurt are read or refused in words, within 5 s and 500 MB; all of them are in ``tests/bench``."""

from __future__ import annotations

import io
import os
import zipfile
from pathlib import Path
from random import Random

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils.datetime import from_excel
from table_files import names, text_file, workbook_file, zip_file

from grouper.errors import InputError
from grouper.faces.cli.remedies import error_lines
from grouper.files.opening import open_file, read_sheets
from grouper.files.roster import read_roster
from tests.bench import hostile_tables
from tests.bench.hostile_tables import END, KINDS, TOP, judged, reader_for, workbook


def refusal(path: Path) -> str:
    """The one short line that a refusal is."""
    with pytest.raises(InputError) as caught:
        read_roster(path)
    lines = list(error_lines(caught.value))
    assert len(lines) == 1 and len(lines[0]) <= 300 and lines[0].isprintable(), lines
    return lines[0]


@pytest.mark.parametrize("kind", KINDS)
def test_a_few_of_each_kind(kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight small ones by seed."""
    monkeypatch.setattr(hostile_tables, "large", lambda chance, usual, _rare: chance.randint(1, usual))
    for seed in range(8):
        chance = Random(f"{kind} {seed}")
        path = tmp_path / "any.table"
        path.write_bytes(KINDS[kind](chance)[:20_000_000])
        assert judged(reader_for(kind, chance), path) in ("read", "refused"), seed


@pytest.mark.parametrize(("kind", "seed"), [("long names and titles", 4806), ("numbers beyond sense", 9255)])
def test_those_of_ten_thousand_that_were_neither(kind: str, seed: int, tmp_path: Path) -> None:
    """A word of 30,000 letters took minutes to be searched for an address; a lesson number of 5,000 digits crashed."""
    chance = Random(f"{kind} {seed}")
    path = tmp_path / "any.table"
    path.write_bytes(KINDS[kind](chance))
    assert judged(reader_for(kind, chance), path) == "refused"


@pytest.mark.parametrize("data", [b"id,name\n1," + b"A" * 140_000, b'id,name\n1,"' + b"A\n" * 140_000])
def test_a_long_cell_and_a_long_open_quotation(tmp_path: Path, data: bytes) -> None:
    """More than the 131,072 letters that Python's csv module takes are refused with the row."""
    path = tmp_path / "7b.csv"
    path.write_bytes(data)
    assert "row 2 of 7b.csv" in refusal(path)


def test_nineteen_megabytes_of_newlines_and_a_million_columns(tmp_path: Path) -> None:
    """Neither is held in memory."""
    path = tmp_path / "7b.csv"
    path.write_bytes(b"id,name\n1,Ana\n" + b"\n" * 19_000_000)
    assert "more than 1,048,576 lines" in refusal(path)
    path.write_bytes(b"id,name" + b",c" * 1_000_000 + b"\n1,Ana\n")
    assert "longer than 1,000,000 letters" in refusal(path)


def test_more_students_than_a_class(tmp_path: Path) -> None:
    """Two thousand students are another school's whole list."""
    text = "id,name\n" + "".join(f"{n},Ana {n}\n" for n in range(2000))
    assert "2,000 students are more than 1,000" in refusal(text_file(tmp_path, text))


def test_empty_rows_with_a_style_are_read(tmp_path: Path) -> None:
    """As spreadsheet programs write them, in XLSX and in CSV."""
    rows = b"".join(b'<row r="%d" s="1"><c r="A%d" s="1"/></row>' % (n, n) for n in range(3, 250_000))
    path = tmp_path / "7b.xlsx"
    path.write_bytes(workbook(TOP + rows + END))
    assert names(read_roster(path)) == ["Ana"]
    path.write_bytes(b"id,name\n1,Ana\n" + b",\n" * 300_000)
    assert names(read_roster(path)) == ["Ana"]


def test_a_row_numbered_a_billion(tmp_path: Path) -> None:
    """The gap before it is not filled."""
    path = tmp_path / "7b.xlsx"
    path.write_bytes(workbook(TOP + b'<row r="1000000000"><c r="A1000000000"><v>3</v></c></row>' + END))
    assert "numbered '1000000000'" in refusal(path)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_a_document_type_wherever_it_stands(tmp_path: Path, encoding: str) -> None:
    """The parser itself refuses it, behind UTF-16 and behind thousands of letters."""
    path = tmp_path / "7b.xlsx"
    sheet = b"<!--" + b"x" * 5000 + b'--><!DOCTYPE x [<!ENTITY a "b">]>' + TOP + END
    path.write_bytes(workbook(sheet.decode().encode(encoding)))
    assert "declares a document type" in refusal(path)


def test_cells_are_as_openpyxl_reads_them(tmp_path: Path) -> None:
    """Texts, numbers, dates, times and truth values against openpyxl, with the shapes that spreadsheets give them."""
    shapes = ("General", "0", "0.00", "yyyy-mm-dd", "d.m.yy", "h:mm", "[h]:mm", '0 "days"', "[Red]0", "mmm-yy", "@")
    values = (1, 2.5, 45_000, 45_000.75, 0.25, 59, 61, "text", "  two  words ", True, -3, 1e-9)
    rows = [[(value, shape) for shape in shapes] for value in values]
    path = workbook_file(tmp_path, {"A": rows})
    (sheet,) = read_sheets(open_file(path), lambda cells: 0)
    for row, found in zip(load_workbook(path)["A"].iter_rows(), sheet.rows, strict=True):
        for cell, text in zip(row, found.cells, strict=True):
            value = cell.value
            if isinstance(value, bool):
                assert text == str(value).upper()
            elif isinstance(value, (int, float)):
                assert float(text) == value, cell.number_format
            elif hasattr(value, "isoformat") and " " not in text:
                assert text in (value.isoformat(), value.isoformat()[:10]), cell.number_format
            else:
                assert text == " ".join(str(value).split()), cell.number_format
    assert from_excel(59).isoformat()[:10] == "1900-02-28"  # what 59 is in a spreadsheet, by openpyxl


def test_an_empty_result_of_a_formula_is_an_empty_cell(tmp_path: Path) -> None:
    """``=IF(A1="","",1)`` is stored as an empty text, and is no formula without a value."""
    path = tmp_path / "7b.xlsx"
    path.write_bytes(workbook(TOP + b'<row r="3"><c r="A3" t="str"><f>""</f><v></v></c></row>' + END))
    assert names(read_roster(path)) == ["Ana"]


def test_what_is_no_file_is_not_waited_for(tmp_path: Path) -> None:
    """A pipe, a device, a folder, a link to itself, a name that is too long."""
    pipe, loop = tmp_path / "pipe.csv", tmp_path / "loop.csv"
    os.mkfifo(pipe)
    loop.symlink_to(loop)
    for path in (pipe, Path("/dev/zero"), Path("/dev/null"), tmp_path, loop, tmp_path / ("x" * 5000)):
        assert str(path.name)[:20] in refusal(path)


def test_a_name_twice_in_a_zip(tmp_path: Path) -> None:
    """Which of two users.csv is meant is not guessed."""
    path = zip_file(tmp_path, {"users.csv": "a", "../users.csv": "b"})
    assert "more than one users.csv" in refusal(path)


def test_a_formula_of_a_million_letters_in_a_zip_that_lies_about_its_sizes(tmp_path: Path) -> None:
    """What a zip says of its members is not believed: bytes are counted while they are unpacked."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("users.csv", "sourcedId,givenName,familyName\n" + "\n" * 70_000_000)
        archive.writestr("classes.csv", "sourcedId,title\nc,7b\n")
        archive.writestr("enrollments.csv", "classSourcedId,userSourcedId,role\n")
    path = tmp_path / "school.zip"
    path.write_bytes(data.getvalue())
    assert "larger than 60 MB" in refusal(path)


@pytest.mark.parametrize("rating", ["1e308", "-1e308", "10000001"])
def test_ratings_beyond_sense(tmp_path: Path, rating: str) -> None:
    """One rule refuses them, with the row."""
    text = f"id,name,skill\n1,Ana,3\n2,Ben,{rating}\n"
    assert "row 3 of 7b.csv" in refusal(text_file(tmp_path, text))


def test_many_troubles_are_one_line(tmp_path: Path) -> None:
    """Forty different ones are counted, and the first is told; three are listed."""
    rows = "".join(f"{n},Ana {n},{'x' * (n % 40)}y{n}\n9{n:02},Bo {n},3\n" for n in range(1, 41))
    assert "40 problems; the first: row 2" in refusal(text_file(tmp_path, f"id,name,skill\n{rows}"))


def test_a_workbook_of_openpyxl_with_a_gap(tmp_path: Path) -> None:
    """Rows keep their numbers where rows in between have nothing but a style."""
    book = Workbook()
    book.active.append(["id", "name", "skill"])
    book.active.cell(900, 1, 1)
    book.active.cell(900, 2, "Ana")
    book.active.cell(900, 3, "x")
    book.active.cell(901, 1, 2)
    book.active.cell(901, 2, "Ben")
    book.active.cell(901, 3, 4)
    path = tmp_path / "7b.xlsx"
    book.save(path)
    assert "row 900 of 7b.xlsx" in refusal(path)


def test_more_rounds_than_a_class_file_holds(tmp_path: Path) -> None:
    """Refused while the table is read, and not after it was planned."""
    rows = "".join(f"{number},Pairs,2,50\n" for number in range(1, 121))
    path = tmp_path / "lessons.csv"
    path.write_text(f"lesson,activity,size,rounds\n{rows}")
    with pytest.raises(InputError, match="6,000 rounds; use 5,000 at most"):
        hostile_tables.READERS["lessons"](path)
