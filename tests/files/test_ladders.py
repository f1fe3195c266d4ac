"""The library of ladders: what is understood, mended and refused; there and back; and the one that comes along."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from table_files import notes, text_file, workbook_file

from grouper.errors import InputError, Trouble
from grouper.files.ladders import (
    HEADER,
    MOST_LETTERS,
    LaddersReading,
    default_ladders,
    ladders_csv,
    read_ladders,
    write_ladders,
)
from grouper.files.words.headers import TELLING
from grouper.model.ladder import ALONG, Ladder, Step
from grouper.model.texts import tidy

TOP = ",".join(HEADER)


def ladders(folder: Path, *lines: str, header: str = TOP) -> LaddersReading:
    return read_ladders(text_file(folder, "\n".join((header, *lines)) + "\n", name="tasks.csv"))


def troubles(folder: Path, *lines: str, header: str = TOP) -> tuple[Trouble, ...]:
    with pytest.raises(InputError) as caught:
        ladders(folder, *lines, header=header)
    assert all(t.file == "tasks.csv" and t.remedy for t in caught.value.troubles)
    return caught.value.troubles


def test_rows_become_ladders_in_the_order_of_the_steps(tmp_path: Path) -> None:
    """Whatever the order of the rows; activities keep the order of the file."""
    reading = ladders(tmp_path, "Pass,2,space,far", "Skip,1,,rope down", "Pass,1,,near", "skip,2,action,rope up")
    assert reading.ladders == (
        Ladder("Pass", (Step("", "near"), Step("space", "far"))),
        Ladder("Skip", (Step("", "rope down"), Step("action", "rope up"))),
    )
    assert reading.summary == "2 activities with 4 steps"


def test_headers_and_words_are_known_by_meaning(tmp_path: Path) -> None:
    """In another order, another language, and spelled slightly wrong; columns that are not known are reported."""
    reading = ladders(tmp_path, "nah,Raum,1,Pass,x", "weit,targt,2,Pass,y", header="Aufgabe,Womit,Stufe,Übung,Farbe")
    assert [step.along for step in reading.ladders[0].steps] == ["space", "target"]
    assert "not known" in notes(reading, "left out")


def test_an_empty_activity_is_that_of_the_row_above_and_numbers_are_mended(tmp_path: Path) -> None:
    """As people write it; both are said."""
    reading = ladders(tmp_path, "Pass,10,,near", ",20,,far", ",30,,further")
    assert len(reading.ladders[0].steps) == 3
    assert notes(reading, "understood") and notes(reading, "mended")


@pytest.mark.parametrize(
    ("line", "row", "word"),
    [
        ("Pass,one,,near", 3, "number of a step"),
        ("Pass,,,near", 3, "missing"),
        ("Pass,2,colour,near", 3, "nothing that a step can change"),
        ("Pass,2,,", 3, "the task is missing"),
        ("Pass,1,,near", 3, "row 2 too"),
        (f"Pass,2,,{'x' * (MOST_LETTERS + 1)}", 3, "letters"),
        ("Pass,2,,the easier ball", 3, "easier"),
        ("Pass,2,,work at level 2", 3, "level 2"),
        ("Pass,2,,for Beginners", 3, "Beginners"),
    ],
)
def test_what_is_wrong_is_said_with_its_row(tmp_path: Path, line: str, row: int, word: str) -> None:
    """And with what to try."""
    found = troubles(tmp_path, "Pass,1,,nearest", line)
    assert [trouble.row for trouble in found] == [row]
    assert word in str(found[0])


def test_words_that_speak_of_balls_and_hands_are_not_refused(tmp_path: Path) -> None:
    """A hand may be weaker, a ball lighter, and a step a step of a foot."""
    tasks = ("two steps back", "with your weaker hand", "a lighter ball at chest level", "schwerer Ball")
    lines = [f"Pass,{place},,{task}" for place, task in enumerate(tasks, start=1)]
    assert len(ladders(tmp_path, *lines).ladders[0].steps) == 4


def test_one_step_is_no_ladder_and_no_rows_are_no_table(tmp_path: Path) -> None:
    """Nothing to choose from."""
    assert "one step" in str(troubles(tmp_path, "Pass,1,,near")[0])
    assert "no tasks" in str(troubles(tmp_path)[0])
    assert "no column 'activity'" in str(troubles(tmp_path, "1,near", header="step,task")[0])


def test_a_sheet_of_a_workbook(tmp_path: Path) -> None:
    """Found by its headers among others."""
    rows = [list(HEADER), ["Pass", 1, "space", "near"], ["Pass", 2, "space", "far"]]
    roster = [["student_id", "name"], ["1", "Ana"]]
    path = workbook_file(tmp_path, {"class": roster, "Tasks": rows})
    assert [step.task for step in read_ladders(path).ladders[0].steps] == ["near", "far"]
    with pytest.raises(InputError, match="cannot be read"):
        read_ladders(workbook_file(tmp_path, {"class": roster}, "other.xlsx"))


WORDS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1, max_size=12)
TEXTS = st.lists(WORDS, min_size=1, max_size=6).map(" ".join).filter(lambda text: not TELLING.search(text))
RISKY = st.sampled_from(("=1+1", "+49 steps", "-throw", "@home", "'=x", "= cmd"))


@given(st.lists(st.tuples(st.sampled_from(("", *ALONG)), TEXTS | RISKY), min_size=2, max_size=6))
def test_there_and_back(tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str]]) -> None:
    """What is written is read as it was, and no cell can start a formula."""
    assume(all(task and tidy(task) == task for _, task in steps))
    ladder = Ladder("=Pass", tuple(Step(along, task) for along, task in steps))
    path = tmp_path_factory.mktemp("ladders") / "tasks.csv"
    write_ladders(path, (ladder,))
    assert read_ladders(path).ladders == (ladder,)


def test_cells_are_guarded() -> None:
    """A task that a spreadsheet would run has an apostrophe in front (OWASP ASVS 5.0, 1.2.10)."""
    text = ladders_csv([Ladder("Pass", (Step("", "=1+1"), Step("", "@x")))])
    assert "'=1+1" in text and "'@x" in text


def test_the_library_that_comes_along_is_whole_and_plain() -> None:
    """Ten ladders of six steps, every dimension used, nothing that tells ability, and no distance in metres: spacing
    is the teacher's to set (common practice, no source)."""
    library = default_ladders()
    tasks = [step.task for ladder in library for step in ladder.steps]
    assert len(library) == 10 and all(len(ladder.steps) == 6 for ladder in library)
    assert {step.along for ladder in library for step in ladder.steps} == set(ALONG)
    assert not any(TELLING.search(task) for task in tasks)
    assert not any(unit in f" {task} " for task in tasks for unit in (" m ", " metres", " feet apart", " yards"))
    assert len(set(tasks)) == len(tasks)


def test_a_task_cut_at_its_comma_is_refused(tmp_path: Path) -> None:
    """A card would show the first half; in quotes it is whole."""
    (trouble,) = troubles(tmp_path, "Pass,1,,catch, turn and throw", "Pass,2,,far")
    assert trouble.row == 2 and "quotes" in trouble.remedy and "turn and throw" in trouble.message
    whole = ladders(tmp_path, 'Pass,1,,"catch, turn and throw"', "Pass,2,,far").ladders[0]
    assert whole.steps[0].task == "catch, turn and throw"
