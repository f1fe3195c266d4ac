"""Groups out and in again."""

from __future__ import annotations

import csv
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from table_files import text_file, write_roster

from grouper.errors import InputError
from grouper.files.groups import read_groups, write_groups
from grouper.model.noted import Absence
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.texts import tidy
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

ROSTER = Roster(tuple(Student(id_, name) for id_, name in [("1", "Ana"), ("2", "=Ben"), ("3", "Cleo"), ("4", "Dan")]))
ACTIVITIES = (Activity("Passing", size=2, rounds=2), Activity("@Game", groups=2))
UNIT = Unit((Lesson(1, ACTIVITIES), Lesson(3, (Activity("Run", size=4),))))
FIRST = Round(RoundKey(1, 1, 1), (Group("A", ("1", "3"), ("coach", "learner")), Group("-1", ("2",))))
SECOND = Round(RoundKey(1, 2, 1), (Group("A", ("3", "2")), Group("B", ("1",))))
RECORD = ClassRecord(ROSTER, UNIT, absences=(Absence(1, "4", "aside", role="scorer"),), plan=Plan((FIRST, SECOND)))


def test_columns_and_order_of_play(tmp_path: Path) -> None:
    """The rows are those of the fixed format, guarded, in the order of play; who helps follows with an empty group."""
    path = tmp_path / "groups.csv"
    write_groups(path, RECORD)
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    assert rows == [
        ["lesson", "activity", "round", "group", "student_id", "name", "role"],
        ["1", "Passing", "1", "A", "1", "Ana", "coach"],
        ["1", "Passing", "1", "A", "3", "Cleo", "learner"],
        ["1", "Passing", "1", "'-1", "2", "'=Ben", ""],
        ["1", "Passing", "1", "", "4", "Dan", "scorer"],
        ["1", "'@Game", "1", "A", "3", "Cleo", ""],
        ["1", "'@Game", "1", "A", "2", "'=Ben", ""],
        ["1", "'@Game", "1", "B", "1", "Ana", ""],
        ["1", "'@Game", "1", "", "4", "Dan", "scorer"],
    ]


def test_groups_read_back(tmp_path: Path) -> None:
    """What is written is read back as the same groups, guards taken off."""
    path = tmp_path / "groups.csv"
    write_groups(path, RECORD)
    assert read_groups(path, RECORD) == {FIRST.key: FIRST.groups, SECOND.key: SECOND.groups}


labels = st.text(st.sampled_from("AB12=+-'@ é,;\""), min_size=1, max_size=5).map(tidy).filter(bool)


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_any_groups_read_back(data: st.DataObject) -> None:
    """Random groups with random labels, names and roles come back as they were."""
    size = data.draw(st.integers(1, 7))
    names = data.draw(st.lists(labels, min_size=size, max_size=size))
    roster = Roster(tuple(Student(str(n), name) for n, name in enumerate(names)))
    rounds = []
    for key in UNIT.keys:
        titles = data.draw(st.lists(labels, min_size=1, max_size=3, unique=True))
        places = [data.draw(st.sampled_from(titles)) for _student in roster.students]
        groups = [Group(title, tuple(str(n) for n, place in enumerate(places) if place == title)) for title in titles]
        rounds.append(Round(key, tuple(group for group in groups if group.members)))
    record = ClassRecord(roster, UNIT, plan=Plan(tuple(rounds)))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "groups.csv"
        write_groups(path, record)
        read = read_groups(path, record)
    assert {key: frozenset(groups) for key, groups in read.items()} == {r.key: frozenset(r.groups) for r in rounds}


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("1,Passing,1,A,9,Nobody,", "no student"),
        ("1,Passing,3,A,1,Ana,", "no round 3 of 'Passing' in lesson 1"),
        ("2,Passing,1,A,1,Ana,", "in lesson 2"),
        ("1,Dancing,1,A,1,Ana,", "'Dancing'"),
        ("1,Passing,1,B,3,Cleo,", "appears twice"),
    ],
)
def test_faults_are_troubles_with_their_row(tmp_path: Path, line: str, says: str) -> None:
    """Unknown rounds and students, and students twice in a round, are told with their row."""
    text = f"lesson,activity,round,group,student_id,name,role\n1,Passing,1,A,3,Cleo,\n{line}\n"
    with pytest.raises(InputError) as caught:
        read_groups(text_file(tmp_path, text), RECORD)
    (trouble,) = caught.value.troubles
    assert trouble.row == 3
    assert says in trouble.message


def test_no_byte_order_mark(tmp_path: Path) -> None:
    """Other programs read the first header right."""
    path = tmp_path / "groups.csv"
    write_groups(path, RECORD)
    assert path.read_bytes().startswith(b"lesson,")


def test_whoever_has_left_is_not_in_the_roster_file(tmp_path: Path) -> None:
    """A roster is written for the class as it is now."""
    gone = replace(ROSTER.students[0], last_lesson=2)
    write_roster(tmp_path / "roster.csv", ROSTER.with_student(gone))
    assert "Ana" not in (tmp_path / "roster.csv").read_text(encoding="utf-8")


def test_a_write_that_fails_leaves_the_old_file_and_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the file cannot be put in place, the old one stays whole and nothing is left beside it."""
    path = tmp_path / "groups.csv"
    path.write_text("old", encoding="utf-8")

    def full(_self: Path, _target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(InputError, match="No space left"):
        write_groups(path, RECORD)
    assert path.read_text(encoding="utf-8") == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["groups.csv"]


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    """The error says that the folder is not there."""
    with pytest.raises(InputError, match="there is no folder"):
        write_groups(tmp_path / "nowhere" / "groups.csv", RECORD)
