"""The table of requests: what is understood, noted, and refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from table_files import notes, text_file, workbook_file

from grouper.errors import InputError, Trouble
from grouper.files.requests import RequestsReading, read_requests
from grouper.model.request import Request
from grouper.model.roster import Roster, Student

HEADER = "kind,student,other,first_lesson,last_lesson"
ROSTER = Roster(
    (Student("1", "Ana Silva"), Student("2", "Ben Okoro"), Student("3", "Mia Berg"), Student("4", "Mia Berg"))
)


def requests(folder: Path, *lines: str, header: str = HEADER) -> RequestsReading:
    return read_requests(text_file(folder, "\n".join((header, *lines)) + "\n", name="requests.csv"), ROSTER)


def troubles(folder: Path, *lines: str, header: str = HEADER) -> tuple[Trouble, ...]:
    with pytest.raises(InputError) as caught:
        requests(folder, *lines, header=header)
    assert all(t.file == "requests.csv" and t.remedy for t in caught.value.troubles)
    return caught.value.troubles


def test_students_by_id_or_by_a_unique_name(tmp_path: Path) -> None:
    """A student is meant by an id, by a name in any case, or by 'Surname, First'."""
    found = requests(tmp_path, "apart,1,ben okoro,,", 'together,"Silva, Ana",3,2,4').requests
    assert found == (Request("apart", "1", "2"), Request("together", "1", "3", 2, 4))


@pytest.mark.parametrize(
    ("cell", "id_"),
    [("Müller, Zoë Ann", "1"), ("zoe ann muller", "1"), ("Muller Zoe Ann", "1"), ("Okoro Ben", "2"), ("Ben", "2")],
)
def test_names_are_taken_in_either_order_and_without_accents(tmp_path: Path, cell: str, id_: str) -> None:
    """As they are typed at the door."""
    roster = Roster((Student("1", "Zoë Ann Müller"), Student("2", "Ben Okoro"), Student("3", "Cem Ada")))
    path = text_file(tmp_path, f'{HEADER}\napart,"{cell}",3,,\n', name="requests.csv")
    assert read_requests(path, roster).requests[0].student == id_


def test_two_whom_a_name_fits_are_both_listed(tmp_path: Path) -> None:
    """By a given name or a name in another order."""
    for cell in ("Mia", '"Berg, Mia"'):
        (trouble,) = troubles(tmp_path, f"apart,{cell},1,,")
        assert "Mia Berg (3) or Mia Berg (4)" in trouble.message


def test_a_misspelt_column_of_lessons_is_refused(tmp_path: Path) -> None:
    """A request for lessons 1 to 3 must not hold in all of them because of a header."""
    (one, other) = troubles(tmp_path, "together,1,2,1,3", header="kind,student,other,frm,unto")
    assert {one.column, other.column} == {"frm", "unto"} and "first_lesson, last_lesson" in one.remedy


def test_a_request_for_lessons_that_there_are_not_is_told_of(tmp_path: Path) -> None:
    """In none of them, or beyond the last."""
    path = text_file(tmp_path, f"{HEADER}\napart,1,2,9,12\napart,1,3,2,12\n", name="requests.csv")
    said = notes(read_requests(path, ROSTER, range(1, 9)), "understood")
    assert "row 2: this request holds in no lesson: the unit has lessons 1 to 8" in said
    assert "row 3: there is no lesson 12" in said


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("Apart", "apart"),
        ("keep apart", "apart"),
        ("getrennt", "apart"),
        ("séparés", "apart"),
        ("separados", "apart"),
        ("TOGETHER", "together"),
        ("zusammen", "together"),
        ("ensemble", "together"),
        ("juntos", "together"),
        ("togehter", "together"),
    ],
)
def test_kinds_in_several_languages(tmp_path: Path, word: str, kind: str) -> None:
    """Kinds are read by meaning."""
    assert requests(tmp_path, f"{word},1,2,,").requests[0].kind == kind


def test_headers_in_other_languages(tmp_path: Path) -> None:
    """The headers may be of another language, with the lessons left out."""
    found = requests(tmp_path, "getrennt;1;2", header="Art;Schüler 1;Schüler 2").requests
    assert found == (Request("apart", "1", "2"),)


def test_the_same_request_twice_is_one(tmp_path: Path) -> None:
    """A request and its mirror image are one, with a note; another span is another request."""
    reading = requests(tmp_path, "apart,1,2,,", "apart,2,1,,", "apart,1,2,3,", "together,1,2,,")
    assert len(reading.requests) == 3
    assert "row 3: the same request as in row 2" in notes(reading, "left out")
    assert reading.summary == "2 apart, 1 together"


def test_reasons_are_never_read(tmp_path: Path) -> None:
    """A column of reasons is left out with a word, and its text goes nowhere."""
    reading = requests(tmp_path, "apart,1,2,quarrel", header="kind,student,other,reason")
    assert "no reason is kept" in notes(reading, "left out")
    assert "quarrel" not in "".join(map(str, reading.notes))


@pytest.mark.parametrize(
    ("line", "column", "says"),
    [
        ("sideways,1,2,,", "kind", "no kind of request"),
        (",1,2,,", "kind", "missing"),
        ("apart,1,,,", "other", "missing"),
        ("apart,1,Bon Okoro,,", "other", "no student with the id or name 'Bon Okoro'"),
        ("apart,Mia Berg,1,,", "student", "could be Mia Berg (3) or Mia Berg (4)"),
        ("apart,1,2,x,", "first_lesson", "no lesson number"),
        ("apart,1,2,,0", "last_lesson", "no lesson number"),
        ("apart,1,Ana Silva,,", "", "two different students"),
        ("apart,1,2,5,3", "", "before it begins"),
    ],
)
def test_each_fault_is_one_trouble(tmp_path: Path, line: str, column: str, says: str) -> None:
    """One fault gives one trouble, at its row and column."""
    (trouble,) = troubles(tmp_path, line)
    assert (trouble.row, trouble.column) == (2, column)
    assert says in trouble.message
    assert "Bon" not in line or "did you mean Ben Okoro" in trouble.remedy


def test_apart_and_together_both_are_left_to_the_planner(tmp_path: Path) -> None:
    """A contradiction is no matter of reading."""
    assert len(requests(tmp_path, "apart,1,2,,", "together,1,2,,").requests) == 2


def test_no_requests_are_none(tmp_path: Path) -> None:
    """A table with headers alone is an empty one."""
    assert requests(tmp_path).requests == ()


def test_a_missing_column_is_a_trouble(tmp_path: Path) -> None:
    """Each column that is needed and missing is named."""
    (trouble,) = troubles(tmp_path, "apart,1", header="kind,student")
    assert "no column 'other'" in trouble.message


def test_requests_from_a_sheet(tmp_path: Path) -> None:
    """In a workbook the sheet is found by its name or by its headers; ids may be numbers there."""
    for title in ("requests", "Wünsche", "Tabelle3"):
        rows = [HEADER.split(","), ["apart", 1, 2, None, 3]]
        path = workbook_file(tmp_path, {"Klasse": [["id", "name"], [1, "Ana"]], title: rows})
        assert read_requests(path, ROSTER).requests == (Request("apart", "1", "2", None, 3),)
