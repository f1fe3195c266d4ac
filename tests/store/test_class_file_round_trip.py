"""What is put into a class file comes out of it unchanged."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from any_record import records
from class_states import state
from hypothesis import given, settings

from grouper.errors import InputError
from grouper.files.store import ClassFile
from grouper.files.store.parts import TABLES
from grouper.model.noted import Absence
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import RoundKey


@contextmanager
def new_file(folder: str | None) -> Iterator[ClassFile]:
    with tempfile.TemporaryDirectory(dir=folder) as own:
        yield ClassFile(Path(own) / "7b.class")


def exact(record: ClassRecord) -> str:
    """All of a record as text, sets and mappings in a fixed order: shows -0.0, types and order, which == may not."""
    students = [(replace(s, ratings={}), sorted(s.ratings.items())) for s in record.roster.students]
    rest = replace(record, roster=Roster((), record.roster.strands), taught=frozenset())
    return repr((students, rest, sorted(record.taught)))


@given(record=records())
@settings(max_examples=60, deadline=None)
def test_a_record_comes_back_exactly(memory: str | None, record: ClassRecord) -> None:
    """Any record, written to a new file and read, is the same down to order, roles, types and signs of zero."""
    with new_file(memory) as file:
        file.create(record, "made")
        found = file.read().record
        assert found == record
        assert exact(found) == exact(record)


@given(one=records(), other=records())
@settings(max_examples=40, deadline=None)
def test_one_record_replaces_any_other_and_undo_brings_it_back(
    memory: str | None, one: ClassRecord, other: ClassRecord
) -> None:
    """Saving any record over any other leaves the new one, undo the old one, and no foreign key dangles."""
    with new_file(memory) as file:
        file.create(one, "made")
        file.save(other, "changed", file.read().version)
        assert file.read().record == other
        assert_sound(file.path)
        if one != other:
            file.undo()
        assert file.read().record == one
        assert_sound(file.path)


def assert_sound(path: Path) -> None:
    with closing(sqlite3.connect(path)) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []


def test_an_id_and_a_name_stand_in_one_place(tmp_path: Path) -> None:
    """Of all rows of all tables one alone holds a student's id and name."""
    record = state(1)
    ClassFile(tmp_path / "7b.class").create(record, "made")
    with closing(sqlite3.connect(tmp_path / "7b.class")) as database:
        rows = [row for table in TABLES for row in database.execute(table.select)]
    for student in record.roster.students:
        assert sum(student.id in row for row in rows) == 1
        assert sum(student.name in row for row in rows) == 1


def test_a_student_keeps_the_internal_number(tmp_path: Path) -> None:
    """A small change writes few rows: with one more absence the way back is one primary key long."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "made")
    with file.change("absent") as edit:
        edit.record = replace(edit.record, absences=(*edit.record.absences, Absence(6, "003")))
    with closing(sqlite3.connect(file.path)) as database:
        assert database.execute("SELECT undo FROM change ORDER BY number").fetchall() == [
            (None,),
            ('[["absence",[[2]],[]]]',),
        ]


def one_round(key: tuple[int, int, int], *members: str) -> Round:
    return Round(RoundKey(*key), (Group("A", members),))


UNFIT = {
    "an absence of somebody unknown": replace(state(1), absences=(Absence(1, "nobody"),)),
    "a seat of somebody unknown": replace(state(1), plan=Plan((one_round((1, 1, 1), "nobody"),))),
    "a round twice": replace(state(1), plan=Plan((one_round((1, 1, 1), "001"), one_round((1, 1, 1), "002")))),
    "a lesson number beyond 64 bits": replace(state(1), taught=frozenset({2**64})),
    "a text that is no Unicode": replace(state(1), roster=replace(state(1).roster, strands=("\ud800",))),
}


@pytest.mark.parametrize("unfit", UNFIT.values(), ids=UNFIT.keys())
def test_what_a_file_cannot_hold_is_refused(tmp_path: Path, unfit: ClassRecord) -> None:
    """A record that does not fit raises InputError, makes no file, and leaves one that is there as it was."""
    file = ClassFile(tmp_path / "7b.class")
    with pytest.raises(InputError):
        file.create(unfit, "made")
    assert list(tmp_path.iterdir()) == []
    file.create(state(1), "made")
    before = file.path.read_bytes()
    with pytest.raises(InputError), file.change("changed") as edit:
        edit.record = unfit
    assert file.path.read_bytes() == before
