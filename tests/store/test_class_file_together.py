"""Several processes at work on one class file."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest
from class_file_child import add_taught, create_once, hold, save_once
from class_states import state
from processes import Worker, start_together

from grouper.errors import InUseError
from grouper.files.store import ClassFile


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "made")
    return made


def test_quick_changes_of_three_processes_are_all_kept(file: ClassFile) -> None:
    """Forty-five changes at once: each waits its turn and none is lost."""
    start_together([Worker(add_taught, file.path, first) for first in (100, 200, 300)])
    added = {first + lesson for first in (100, 200, 300) for lesson in range(15)}
    assert file.read().record.taught == state(1).taught | added
    assert len(file.history()) == 46


def test_of_two_saves_from_one_state_one_wins(file: ClassFile) -> None:
    """Two long commands that began with the same state: one is saved, the other told that the file is in use."""
    said = start_together([Worker(save_once, file.path, lesson) for lesson in (100, 200)])
    assert sorted(said) == ["InUseError", "saved"]
    winner = (100, 200)[said.index("saved")]
    assert file.read().record.taught == state(1).taught | {winner}


def test_of_two_that_make_the_file_one_wins(tmp_path: Path) -> None:
    """Two first plans at once: one makes the file, the other is told, and nothing else is left."""
    path = tmp_path / "8c.class"
    said = start_together([Worker(create_once, path, number) for number in (10, 20)])
    assert sorted(said) == ["InUseError", "saved"]
    assert ClassFile(path).read().record == state((10, 20)[said.index("saved")])
    assert list(tmp_path.iterdir()) == [path]


def test_who_waits_too_long_gets_a_word(file: ClassFile) -> None:
    """While another process holds the lock, reading works, and writing ends in InUseError after the time given."""
    holder = Worker(hold, file.path, 100)
    assert holder.hear() == "ready"
    assert file.read().record == state(1)
    begin = time.monotonic()
    with pytest.raises(InUseError, match="in use by another command"), file.change("state 2") as edit:
        edit.record = state(2)
    assert time.monotonic() - begin < 3
    with pytest.raises(InUseError):
        file.undo()
    holder.pipe.send("go")
    holder.end()
    assert file.read().record.taught == state(1).taught | {100}


def test_a_plain_copy_is_a_full_backup(file: ClassFile, tmp_path: Path) -> None:
    """At rest the class file is one file; a copy has the record, the log and what undo needs."""
    with file.change("state 2") as edit:
        edit.record = state(2)
    assert list(tmp_path.iterdir()) == [file.path]
    copy = ClassFile(shutil.copy(file.path, tmp_path / "copy.class"))
    file.path.unlink()
    assert copy.read().record == state(2)
    assert copy.undo().what == "state 2"
    assert copy.read().record == state(1)


def test_an_undo_and_a_redo_are_states_of_their_own(file: ClassFile) -> None:
    """A long command that began before somebody undid, or did again, does not write over it."""
    made = file.read().version
    with file.change("state 2") as edit:
        edit.record = state(2)
    changed = file.read().version
    file.undo()
    undone = file.read().version
    with pytest.raises(InUseError):
        file.save(state(3), "state 3", read_at=changed)
    file.redo()
    with pytest.raises(InUseError):
        file.save(state(3), "state 3", read_at=undone)
    assert len({made, changed, undone, file.read().version}) == 4
