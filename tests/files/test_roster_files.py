"""Files that are not what their name says, workbooks, and OneRoster zips."""

from __future__ import annotations

import datetime
import zipfile
from pathlib import Path

import pytest
from table_files import names, notes, text_file, workbook_file, zip_file

from grouper.errors import InputError
from grouper.files import opening, sheet_xml
from grouper.files.roster import read_roster

REFERENCE = Path(__file__).parents[1] / "reference"


def trouble_of(path: Path, **options: str) -> str:
    with pytest.raises(InputError) as caught:
        read_roster(path, **options)
    assert caught.value.troubles
    assert all(trouble.remedy and trouble.file for trouble in caught.value.troubles)
    return "; ".join(str(trouble) for trouble in caught.value.troubles)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\xef\xbb\xbf \r\n", "empty"),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old workbook"),
        (b"<html><table><tr><td>name</td></tr></table>", "web page"),
        (b"PK\x03\x04 half a zip", "damaged"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"id,name\n1,\x81\x8d\n", "no letter"),
    ],
)
def test_files_that_hold_no_table(tmp_path: Path, data: bytes, says: str) -> None:
    """A stranger under the name of a CSV is told by its content."""
    path = tmp_path / "7b.csv"
    path.write_bytes(data)
    assert says in trouble_of(path)


def test_a_folder_and_a_missing_file(tmp_path: Path) -> None:
    """A folder is no file; for a missing file the like-named ones are shown."""
    text_file(tmp_path, "id,name\n1,Ana\n", name="class7b.csv")
    assert "this is a folder" in trouble_of(tmp_path)
    assert "did you mean class7b.csv" in trouble_of(tmp_path / "clas7b.csv")


@pytest.mark.parametrize(
    ("members", "says"),
    [
        ({"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": "<x/>"}, "OpenDocument"),
        ({"word/document.xml": "<x/>"}, "text document"),
        ({"photos/1.txt": "x"}, "without users.csv"),
    ],
)
def test_zips_that_hold_no_roster(tmp_path: Path, members: dict[str, str], says: str) -> None:
    """Other formats that are zips inside are named."""
    assert says in trouble_of(zip_file(tmp_path, members, "7b.csv"))


def test_a_zip_bomb_is_refused_unread(tmp_path: Path) -> None:
    """A small zip that unpacks to hundreds of megabytes is refused by what it declares."""
    path = tmp_path / "bomb.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive, archive.open("users.csv", "w") as member:
        for _part in range(sheet_xml.MOST_BYTES_UNPACKED // 10_000_000 + 1):
            member.write(b"\0" * 10_000_000)
    assert path.stat().st_size < opening.MOST_BYTES
    assert "larger than any table" in trouble_of(path)


def test_large_files_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file beyond the limits is refused by its size or its number of rows."""
    path = text_file(tmp_path, "id,name\n" + "".join(f"{n},Ana {n}\n" for n in range(20_001)))
    assert "more than 20,000 rows" in trouble_of(path)
    monkeypatch.setattr(opening, "MOST_BYTES", 100)
    assert "larger than" in trouble_of(path)


def test_a_workbook_that_is_called_csv(tmp_path: Path) -> None:
    """A workbook is read as one whatever its name."""
    path = workbook_file(tmp_path, {"Tabelle1": [["ID", "Name"], ["1", "Ana"]]}, "7b.csv")
    assert names(read_roster(path)) == ["Ana"]


def test_ids_are_as_the_spreadsheet_shows_them(tmp_path: Path) -> None:
    """The number 12 in the shape 00000 is the id 00012; text stays text; a plain number has no point."""
    rows = [["Schülernummer", "Name", "Kraft"], [(12, "00000"), "Ana", 3.5], ["00013", "Ben", 4], [14, "Cleo", 2]]
    reading = read_roster(workbook_file(tmp_path, {"Klasse": rows}))
    assert [s.id for s in reading.roster.students] == ["00012", "00013", "14"]
    assert reading.roster.students[0].ratings == {"Kraft": 3.5}


def test_dates_and_truth_values_in_a_workbook(tmp_path: Path) -> None:
    """Dates of birth are left out; a true availability takes part."""
    born = datetime.date(2012, 3, 4)
    rows = [["ID", "Name", "Geburtsdatum", "Teilnahme"], [1, "Ana", born, True], [2, "Ben", None, False]]
    reading = read_roster(workbook_file(tmp_path, {"7b": rows}))
    assert "Geburtsdatum (personal, not needed)" in reading.summary
    assert [s.availability for s in reading.roster.students] == ["", "away"]


def test_a_formula_without_a_stored_value_is_a_trouble(tmp_path: Path) -> None:
    """A formula that no spreadsheet program has worked out is not read as an empty cell."""
    rows = [["ID", "Name", "Skill"], [1, "Ana", "=1+2"], [2, "Ben", 4]]
    message = trouble_of(workbook_file(tmp_path, {"7b": rows}))
    assert "row 2" in message and "column 'C'" in message and "formula" in message


def test_the_sheet_that_looks_like_a_roster_is_taken(tmp_path: Path) -> None:
    """Other sheets are told of, and one can be asked for by its title."""
    book = workbook_file(
        tmp_path,
        {"Cover": [["Spring"]], "7a": [["ID", "Name"], [1, "Ana"]], "7b": [["ID", "Name"], [2, "Ben"]]},
    )
    assert names(read_roster(book)) == ["Ana"]
    assert "the sheet '7b' is not read" in notes(read_roster(book), "left out")
    assert names(read_roster(book, class_name="7b")) == ["Ben"]


def test_a_class_that_is_not_there_is_told(tmp_path: Path) -> None:
    """Asking for a class that is neither a sheet nor in a column of classes is a trouble that lists those there are."""
    book = workbook_file(tmp_path, {"7a": [["ID", "Name"], [1, "Ana"]]})
    assert "no sheet and no row is of a class '7c'" in trouble_of(book, class_name="7c")
    both = text_file(tmp_path, "id,name,class\n1,Ana,7a\n2,Ben,7b\n")
    assert "use one of 7a, 7b" in trouble_of(both, class_name="7c")


def test_one_class_of_an_export_of_several(tmp_path: Path) -> None:
    """A column of classes parts an export of several; without a name all are taken, with a note."""
    path = text_file(tmp_path, "id,name,Class\n1,Ana,7a\n2,Ben,7b\n3,Cleo,7a\n4,Dan,7b\n")
    reading = read_roster(path, "7A")
    assert names(reading) == ["Ana", "Cleo"]
    assert "rows 3, 5, column 'Class': not of the class 7A" in notes(reading, "left out")
    assert "all taken as one: 7a, 7b" in notes(read_roster(path), "understood")


def test_a_table_that_does_not_start_in_the_corner(tmp_path: Path) -> None:
    """Blank rows and columns before the table are no matter, and rows count as the spreadsheet shows them."""
    rows = [[], [], [None, None, "Class 7b"], [], [None, None, "ID", "Name", "Skill"], [None, None, 1, "Ana", "x"]]
    rows.append([None, None, 2, "Ben", 4])
    message = trouble_of(workbook_file(tmp_path, {"7b": rows}))
    assert "row 6 of" in message and "column 'Skill'" in message


def test_entities_in_a_workbook_are_refused(tmp_path: Path) -> None:
    """A document type in a workbook, as of an entity bomb, is refused before it is parsed."""
    book = workbook_file(tmp_path, {"7b": [["ID", "Name"], [1, "Ana"]]})
    bomb = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(bomb, "w") as new:
        for member in old.namelist():
            data = old.read(member)
            start = b'<!DOCTYPE x [<!ENTITY a "aaaa">]>' if member.endswith("sheet1.xml") else b""
            new.writestr(member, start + data)
    assert "document type" in trouble_of(bomb)


def test_linnerud_exercise_data_as_a_roster() -> None:
    """The Linnerud exercise data as scikit-learn carries them: 20 people, three strands, read from linnerud.csv."""
    from sklearn.datasets import load_linnerud

    roster = read_roster(REFERENCE / "linnerud.csv").roster
    assert (len(roster.students), roster.strands) == (20, ("chins", "situps", "jumps"))
    theirs = load_linnerud(as_frame=True).data
    assert [tuple(s.ratings.values()) for s in roster.students] == list(theirs.itertuples(index=False, name=None))
