"""Ratings in words: what each is worth is said once; nothing else is guessed."""

from __future__ import annotations

from pathlib import Path

import pytest
from table_files import roster_of, text_file

from grouper.errors import InputError
from grouper.files.cells import scale_of, scale_text
from grouper.files.roster import RosterReading, read_roster

SCALE = scale_of("weak=1, fair=2, very good=4")
WORDS = (
    "id,name,throw",
    "1,Ana,weak",
    "2,Ben,fair",
    "3,Cem,Very-Good",
    "4,Dia,FÁIR",
    "5,Eva, very  good ",
    "6,Fin,3,5",
)


def read(folder: Path, *lines: str) -> RosterReading:
    return read_roster(text_file(folder, "\n".join(lines)), "", None, SCALE)


def test_words_of_the_scale_are_numbers_whatever_case_accent_or_space(tmp_path: Path) -> None:
    """Worth as the scale says; a number beside them stays a number, and a dash is not rated."""
    lines = [line.replace(",3,5", ',"3,5"') for line in WORDS]
    reading = read(tmp_path, *lines, "7,Gil,-")
    assert reading.roster.strands == ("throw",)
    assert [s.ratings.get("throw") for s in reading.roster.students] == [1.0, 2.0, 4.0, 2.0, 4.0, 3.5, None]


@pytest.mark.parametrize("known", [("weak", "weak", "fair", "fair"), ("weak", "strong", "strong", "strong", "strong")])
def test_a_word_that_is_not_on_the_scale_is_refused_by_name_with_those_that_are(
    tmp_path: Path, known: tuple[str, ...]
) -> None:
    """Also where most words are others, as long as they are few."""
    rows = [f"{place},P{place:02},{word}" for place, word in enumerate((*known, "strong"))]
    with pytest.raises(InputError) as caught:
        read(tmp_path, "id,name,throw", *rows)
    assert "'strong'" in str(caught.value.troubles[-1])
    assert "weak=1, fair=2, very good=4" in str(caught.value.troubles[-1])


def test_without_a_scale_few_words_are_left_out_with_the_way_out_and_no_cell_told(tmp_path: Path) -> None:
    """The words themselves may tell of an illness, so that the note names none of them."""
    reading = roster_of(tmp_path, "id,name,throw", "1,Ana,poor", "2,Ben,ace", "3,Cem,poor", "4,Dia,ace")
    assert reading.roster.strands == ()
    (note,) = [note for note in reading.notes if note.kind == "left out" and note.column == "throw"]
    assert "say once what each is worth" in note.text
    assert "poor" not in str(note)
    assert "ace" not in str(note)


def test_a_word_among_numbers_names_the_way_out(tmp_path: Path) -> None:
    """Most cells are numbers, so that the column is a strand and the word a slip or a scale."""
    with pytest.raises(InputError) as caught:
        roster_of(tmp_path, "id,name,throw", "1,Ana,1", "2,Ben,2", "3,Cem,good")
    assert "say once what words are worth" in str(caught.value.troubles[0])


def test_a_column_of_remarks_is_no_rating_although_a_word_of_the_scale_is_in_it(tmp_path: Path) -> None:
    """Many different words are no scale."""
    remarks = ["fair", "new shoes", "asks much", "left-handed", "tall for it", "needs care"]
    reading = read(tmp_path, "id,name,said", *(f"{n},P{n:02},{text}" for n, text in enumerate(remarks)))
    assert reading.roster.strands == ()


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ("weak", "'weak' is not WORD=NUMBER"),
        ("weak=low", "'weak=low' is not WORD=NUMBER"),
        ("=3", "'=3' is not WORD=NUMBER"),
        ("weak=1,WEAK =2", "twice"),
        ("weak=1,5", "'5' is not WORD=NUMBER"),
        ("3=4", "'3' is no word"),
        (",".join(f"w{n}x=1" for n in range(21)), "21 words"),
    ],
)
def test_what_is_no_scale_is_refused_with_an_example(typed: str, wrong: str) -> None:
    """Each slip by itself."""
    with pytest.raises(InputError, match=wrong):
        scale_of(typed)


def test_a_scale_reads_back_and_takes_decimal_commas_between_semicolons() -> None:
    """As the class file keeps it."""
    assert scale_of(scale_text(SCALE)) == SCALE
    assert scale_of("weak=1,5; fair=2") == (("weak", 1.5), ("fair", 2.0))
    assert scale_of("") == ()
