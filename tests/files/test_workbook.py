"""The template, and what a workbook holds."""

from __future__ import annotations

from pathlib import Path

from openpyxl import load_workbook
from table_files import text_file, workbook_file

from grouper.files.lessons import read_lessons
from grouper.files.opening import Contents, contents_of
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.writing import write_template

FIXED_LESSONS = "lesson,date,activity,size,groups,rounds,minutes,aim,strand,min_gap,max_gap"
FIXED_REQUESTS = "kind,student,other,first_lesson,last_lesson"


def test_template_reads_back_without_trouble(tmp_path: Path) -> None:
    """All three tables are read from the template as it is written."""
    path = tmp_path / "template.xlsx"
    write_template(path)
    roster = read_roster(path).roster
    assert len(roster.students) == 2
    assert len(read_lessons(path, roster).unit.lessons) == 1
    assert len(read_requests(path, roster).requests) == 1


def test_template_has_three_sheets_with_the_fixed_headers(tmp_path: Path) -> None:
    """The sheets are roster, lessons and requests; openpyxl finds the fixed columns in them, and an example below."""
    path = tmp_path / "template.xlsx"
    write_template(path)
    book = load_workbook(path)
    assert book.sheetnames == ["roster", "lessons", "requests"]
    headers = {sheet.title: [cell.value for cell in sheet[1]] for sheet in book}
    assert headers["roster"][:2] == ["student_id", "name"]
    assert headers["lessons"] == [*FIXED_LESSONS.split(","), "caution", "sides", "edge"]
    assert headers["requests"] == FIXED_REQUESTS.split(",")
    assert all(sheet.max_row >= 2 for sheet in book)


def test_template_with_a_class_typed_in(tmp_path: Path) -> None:
    """With students added and the examples left standing, examples and their request are left out."""
    path = tmp_path / "template.xlsx"
    write_template(path)
    book = load_workbook(path)
    book["roster"].append([17, "Ana Silva", 4, 2])
    book.save(path)
    roster = read_roster(path).roster
    assert [student.id for student in roster.students] == ["17"]
    reading = read_requests(path, roster)
    assert reading.requests == ()
    assert any("example" in note.text for note in reading.notes)


def test_contents_of_a_workbook(tmp_path: Path) -> None:
    """It is told which of the three tables a workbook has; a text file has none beside what it is read for."""
    students, lessons = [["id", "name"], [1, "Ana"]], [["lesson", "activity", "size"], [1, "Passing", 2]]
    book = workbook_file(tmp_path, {"A": students, "B": lessons})
    assert contents_of(book) == Contents(roster=True, lessons=True, requests=False)
    assert contents_of(text_file(tmp_path, "id,name\n1,Ana\n")) == Contents(False, False, False)
