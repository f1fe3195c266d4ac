"""A roster written out reads back in as the same roster, in any encoding and with any delimiter."""

from __future__ import annotations

import csv
import io
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from table_files import delimited, text_file, write_roster

from grouper.files.names import bare, given_name_first
from grouper.files.roster import read_roster
from grouper.files.words.headers import ROSTER, unwanted
from grouper.model.roster import AVAILABILITIES, SIZE_BANDS, Roster, Student
from grouper.model.texts import tidy

ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32")


def spelled(alphabet: st.SearchStrategy[str], most: int = 14) -> st.SearchStrategy[str]:
    """Tidy texts with something in them."""
    return st.text(alphabet, min_size=1, max_size=most).map(tidy).filter(bool)


letters = st.characters(categories=["Lu", "Ll", "Lo", "Lm", "Mn", "Mc"])
any_signs = st.characters(codec="utf-8", exclude_characters="\ufffe\uffff")
name_texts = (spelled(letters) | spelled(any_signs) | spelled(st.sampled_from("=+-@'\"|;\tAb "))).filter(
    lambda text: given_name_first(text) == text == bare(text) and any(sign.isalpha() for sign in text)
)
ids = st.text(st.sampled_from("0123456789ABab-='"), min_size=1, max_size=6).filter(
    lambda text: tidy(text) == text and not text.startswith('="')
)
ratings = st.floats(min_value=-1000, max_value=1000, allow_nan=False) | st.integers(-9, 99).map(float)


def could_be_strand(header: str) -> bool:
    """Whether a header is no word that means something else."""
    means = ROSTER.meaning(header) or ROSTER.close_meaning(header) or unwanted(header)
    return bool(tidy(header)) and not means


strand_names = spelled(letters | st.sampled_from("=+- ")).filter(could_be_strand)


@st.composite
def rosters(draw: st.DrawFn) -> Roster:
    """Rosters of tidy texts; each strand is rated at least once."""
    student_ids = draw(st.lists(ids, min_size=1, max_size=6, unique=True))
    strands = draw(st.lists(strand_names, max_size=3, unique_by=str.casefold))
    students = []
    for place, id_ in enumerate(student_ids):
        rated = {s: draw(ratings) for s in strands if place == 0 or draw(st.booleans())}
        band, availability = draw(st.sampled_from(SIZE_BANDS)), draw(st.sampled_from(AVAILABILITIES))
        students.append(Student(id_, draw(name_texts), rated, band, availability))
    return Roster(tuple(students), tuple(strands))


def rows_of(roster: Roster) -> list[list[str]]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "out.csv"
        write_roster(path, roster)
        return list(csv.reader(io.StringIO(path.read_bytes().decode("utf-8"), newline="")))


@settings(max_examples=80, deadline=None)
@given(rosters())
def test_written_roster_reads_back(roster: Roster) -> None:
    """read_roster(write_roster(roster)) is the roster: ids, names, ratings, bands, availability, strands in order."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "out.csv"
        write_roster(path, roster)
        assert read_roster(path).roster == roster


@settings(max_examples=80, deadline=None)
@given(rosters(), st.sampled_from(ENCODINGS), st.sampled_from(",;\t|"), st.booleans())
def test_any_encoding_and_delimiter_read_the_same(roster: Roster, encoding: str, delimiter: str, sep: bool) -> None:
    """The encoding, the delimiter and a sep= line change nothing in what is read."""
    text = (f"sep={delimiter}\r\n" if sep else "") + delimited(rows_of(roster), delimiter)
    with tempfile.TemporaryDirectory() as folder:
        assert read_roster(text_file(Path(folder), text, encoding)).roster == roster


@pytest.mark.parametrize("delimiter", list(",;\t|"))
def test_windows_1252_is_read_with_a_look_at_the_spelling(tmp_path: Path, delimiter: str) -> None:
    """Bytes that are no UTF-8 are read as Windows-1252, and the note shows the words that could be wrong."""
    rows = [["Nr", "Name", "Größe", "Ausdauer"], ["17", "Zoë Müller", "klein", "3"], ["4", "Šimon Žák", "groß", "2"]]
    reading = read_roster(text_file(tmp_path, delimited(rows, delimiter), "windows-1252"))
    assert [student.name for student in reading.roster.students] == ["Zoë Müller", "Šimon Žák"]
    assert any("Zoë Müller" in note.text and "WINDOWS-1252" in note.text for note in reading.notes)
