"""Changing a class file, the log of changes, and undo."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InputError, InUseError
from grouper.files.store import ClassFile, history


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "plan")
    return made


def change_to(file: ClassFile, number: int) -> None:
    with file.change(f"state {number}") as edit:
        edit.record = state(number)


def test_create_returns_the_version_that_read_gives(file: ClassFile, tmp_path: Path) -> None:
    """The stamp of a new file and of every save is what the next reading says."""
    other = ClassFile(tmp_path / "other.class")
    assert other.create(state(1), "plan") == other.read().version
    assert other.save(state(2), "plan again", other.read().version) == other.read().version
    assert other.read().version != file.read().version


def test_a_block_that_raises_writes_nothing(file: ClassFile) -> None:
    """The file keeps every byte, and the error is the block's own."""
    before = file.path.read_bytes()
    with pytest.raises(ZeroDivisionError), file.change("no") as edit:
        edit.record = state(2)
        raise ZeroDivisionError
    assert file.path.read_bytes() == before


def test_an_equal_record_writes_nothing(file: ClassFile) -> None:
    """Saving what is there already adds no change that an undo would waste itself on."""
    before = file.path.read_bytes()
    change_to(file, 1)
    version = file.read().version
    assert file.save(state(1), "same", version) == version
    assert file.path.read_bytes() == before


def test_the_words_of_a_change_may_be_found_while_it_is_made(file: ClassFile) -> None:
    """The last wording of the block is the one in the log."""
    with file.change("absent") as edit:
        edit.record, edit.what = state(2), "absent: 3 students"
    assert file.history()[-1].what == "absent: 3 students"


def test_the_log_tells_what_was_done_and_when(file: ClassFile) -> None:
    """Changes come oldest first, numbered from 1, with the time in UTC; the making of the file cannot be undone."""
    change_to(file, 2)
    made, changed = file.history()
    assert (made.number, made.what, made.lasting) == (1, "plan", "it made the class file")
    assert (changed.number, changed.what, changed.lasting) == (2, "state 2", "")
    assert abs(changed.at - datetime.now(UTC)) < timedelta(minutes=1)


def test_save_refuses_a_state_that_has_moved_on(file: ClassFile) -> None:
    """What was made from an older state is not saved over a newer one."""
    found = file.read()
    change_to(file, 2)
    with pytest.raises(InUseError, match="meanwhile"):
        file.save(state(3), "plan", found.version)
    assert file.read().record == state(2)
    assert len(file.history()) == 2


def test_save_refuses_when_change_and_undo_led_back(file: ClassFile) -> None:
    """A state reached again by undo has a new stamp: another command was at work in between."""
    found = file.read()
    change_to(file, 2)
    file.undo()
    assert file.read().record == found.record
    with pytest.raises(InUseError):
        file.save(state(3), "plan", found.version)


def test_save_refuses_another_file_of_the_same_name(file: ClassFile) -> None:
    """A file that was deleted and made anew is not the one that was read."""
    found = file.read()
    file.path.unlink()
    file.create(state(1), "plan")
    with pytest.raises(InUseError):
        file.save(state(3), "plan", found.version)


def test_undo_goes_back_change_by_change(file: ClassFile) -> None:
    """Several undos in a row pass all earlier states, saves and changes alike, and tell what they took back."""
    for number in (2, 3):
        change_to(file, number)
    file.save(state(4), "plan again", file.read().version)
    for what, number in (("plan again", 3), ("state 3", 2), ("state 2", 1)):
        assert file.undo().what == what
        assert file.read().record == state(number)
    assert [change.what for change in file.history()] == ["plan"]


def test_the_making_of_the_file_cannot_be_undone(file: ClassFile) -> None:
    """Undo of nothing is an InputError that says why, and changes no byte."""
    before = file.path.read_bytes()
    with pytest.raises(InputError, match="nothing to undo: the last change was 'plan', and it made the class file"):
        file.undo()
    assert file.path.read_bytes() == before


def test_the_last_changes_are_kept(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """Older ones go, and with them what could be undone; a hundred are kept, ten here to be quick."""
    assert history.KEPT == 100
    monkeypatch.setattr(history, "KEPT", 10)
    for number in range(2, 14):
        change_to(file, number)
    assert [change.number for change in file.history()] == list(range(4, 14))
    for _ in range(10):
        file.undo()
    assert file.read().record == state(3)
    with pytest.raises(InputError, match="no earlier change is kept"):
        file.undo()
