"""A copy comes back safely, and a journal is never played back into a file that it does not belong to."""

from __future__ import annotations

import random
import shutil
import sqlite3
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest
from class_file_child import change_for_ever
from class_states import large_state, state
from test_class_file_crash import a_moment, first_page_written, killed
from test_class_file_round_trip import assert_sound

from grouper.errors import InputError, InUseError
from grouper.faces.cli.remedies import error_lines
from grouper.files.store import ClassFile, restoring
from grouper.files.store.restoring import restore


@pytest.fixture
def copy(tmp_path: Path) -> ClassFile:
    """A copy that a teacher has put aside."""
    made = ClassFile(tmp_path / "stick" / "7b copy.class")
    made.path.parent.mkdir()
    made.create(state(5), "made")
    return made


def with_hot_journal(folder: Path) -> ClassFile:
    """A file whose last change was killed while it was written, its journal beside it."""
    for attempt in range(40):
        file = ClassFile(folder / f"{attempt}" / "7b.class", wait=0.2)
        file.path.parent.mkdir()
        file.create(large_state(0), "made")
        killed(change_for_ever, file.path, 1, partial(first_page_written, file.path))
        if file.path.with_name("7b.class-journal").exists():
            return file
    raise AssertionError("no kill left a journal")


def test_a_hot_journal_is_not_played_into_the_copy(on_disk: Path, copy: ClassFile) -> None:
    """Where a plain copy over the file would be damaged by it; what was there is kept, and is whole."""
    file = with_hot_journal(on_disk)
    kept = restore(file.path, copy.path)
    assert kept == file.path.with_name("7b.class.damaged-1")
    assert file.read().record == state(5)
    assert_sound(file.path)
    assert kept in file.backups, "erase names it"
    found = ClassFile(kept).read().record
    assert found == large_state(found.seed)
    assert not file.path.with_name("7b.class-journal").exists()
    assert file.path.stat().st_mode & 0o777 == 0o600


def test_a_journal_that_cannot_be_used_goes_with_its_file(tmp_path: Path, copy: ClassFile) -> None:
    """The file so damaged that nothing knows it, with a journal of another beside it."""
    path = tmp_path / "7b.class"
    for name in ("7b.class", "7b.class-journal"):
        (tmp_path / name).write_bytes(b"\xd9\xd5\x05\xf9 \xa1c\xd7" + b"no database" * 900)
    restore(path, copy.path)
    assert ClassFile(path).read().record == state(5)
    assert sorted(p.name for p in tmp_path.iterdir() if p.is_file())[0] == "7b.class"
    assert not (tmp_path / "7b.class-journal").exists()


def test_a_journal_without_its_file(tmp_path: Path, copy: ClassFile) -> None:
    """Nobody makes a new file beside it, in which it would be played back; restore puts it aside."""
    path = tmp_path / "7b.class"
    journal = tmp_path / "7b.class-journal"
    journal.write_bytes(b"\xd9\xd5\x05\xf9 \xa1c\xd7" + b"x" * 5000)
    with pytest.raises(InputError, match="belongs to a class file that is not here"):
        ClassFile(path).create(state(1), "plan")
    assert restore(path, copy.path) is None
    assert ClassFile(path).read().record == state(5) and not journal.exists()


@pytest.mark.parametrize("spoil", ["cut", "bytes", "trigger", "text", "same"])
def test_a_copy_that_is_not_sound_is_not_brought_back(tmp_path: Path, copy: ClassFile, spoil: str) -> None:
    """The old file stays what it is, and no other file is left."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "made")
    content = copy.path.read_bytes()
    given = file.path if spoil == "same" else copy.path
    if spoil == "trigger":
        with closing(sqlite3.connect(copy.path)) as database:
            database.execute("CREATE TRIGGER t AFTER INSERT ON change BEGIN DELETE FROM taught; END")
    elif spoil != "same":
        spoiled = {"cut": content[:9000], "bytes": content[:8192] + b"\xff" * 4096 + content[12288:], "text": b"a,b\n"}
        copy.path.write_bytes(spoiled[spoil])
    before = file.path.read_bytes()
    with pytest.raises(InputError):
        restore(file.path, given)
    assert file.path.read_bytes() == before
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["7b.class", "stick"]


def test_somebody_at_work_on_the_file_is_not_overtaken(tmp_path: Path, copy: ClassFile) -> None:
    """Who writes is waited for, and who waited to write while the file was replaced is told, not lost."""
    file = ClassFile(tmp_path / "7b.class", wait=0.1)
    file.create(state(1), "made")
    with file.change("held") as edit:
        with pytest.raises(InUseError):
            restore(file.path, copy.path, wait=0.1)
        edit.record = state(2)
    assert file.read().record == state(2)
    with closing(sqlite3.connect(file.path, isolation_level=None)) as old:
        old.execute("SELECT count(*) FROM student").fetchone()
        restore(file.path, copy.path)
        with pytest.raises(sqlite3.OperationalError) as caught:
            old.execute("DELETE FROM taught")
    assert caught.value.sqlite_errorcode == sqlite3.SQLITE_READONLY_DBMOVED
    assert file.read().record == state(5)


def test_a_damaged_file_names_its_journal(tmp_path: Path) -> None:
    """And the command that helps."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "made")
    content = file.path.read_bytes()
    file.path.write_bytes(content[:4096] + b"\xff" * (len(content) - 4096))
    (tmp_path / "7b.class-journal").write_bytes(b"")
    with pytest.raises(InputError, match="class-journal beside it belongs to it") as caught:
        file.read()
    assert "grouper restore CLASS --from COPY" in next(error_lines(caught.value))


def test_copies_taken_amid_kills_come_back_whole_or_are_refused(on_disk: Path) -> None:
    """Twelve copies of files that were killed, taken without the journal: none comes back half written."""
    draw = random.Random(5)
    file = ClassFile(on_disk / "7b.class")
    file.create(large_state(0), "made")
    for attempt in range(12):
        wait = partial(first_page_written, file.path) if attempt % 2 else a_moment(draw)
        killed(change_for_ever, file.path, 1000 * attempt + 1, wait)
        copy = on_disk / f"copy-{attempt}.class"
        shutil.copyfile(file.path, copy)
        target = ClassFile(on_disk / f"back-{attempt}.class")
        try:
            restore(target.path, copy)
        except InputError:
            assert not target.exists
        else:
            found = target.read().record
            assert found == large_state(found.seed)
        file.read()


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """The class file that the copy is to replace."""
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "plan")
    return made


def test_a_loss_of_power_amid_restore_is_told_by_the_next_command(
    file: ClassFile, copy: ClassFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before the copy has its name nothing stands at the path: the refusal names the file that was put aside."""
    with monkeypatch.context() as patch:
        patch.setattr(restoring, "place", lost_power)
        with pytest.raises(KeyboardInterrupt):
            restore(file.path, copy.path)
    assert not file.exists
    with pytest.raises(InputError, match=r"7b\.class\.damaged-1 beside it is the one from before"):
        file.read()
    restore(file.path, copy.path)
    assert ClassFile(file.path, tell=refuse_to_tell).read().record == copy.read().record


def test_a_loss_of_power_right_after_restore_is_told_once(
    file: ClassFile, copy: ClassFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy stands in its place, and nobody has said yet where the old file is: the next command does."""
    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", lost_power_at_the_mark)
        with pytest.raises(KeyboardInterrupt):
            restore(file.path, copy.path)
    told: list[str] = []
    opened = ClassFile(file.path, tell=lambda _, what: told.append(what))
    for _ in range(2):
        assert opened.read().record == copy.read().record
    assert told == ["7b.class is a copy that was brought back; 7b.class.damaged-1 beside it is the file from before"]


def lost_power(*_: object, **__: object) -> None:
    raise KeyboardInterrupt


UNLINK = Path.unlink


def lost_power_at_the_mark(path: Path, missing_ok: bool = False) -> None:
    if path.name.endswith(".restoring"):
        raise KeyboardInterrupt
    if path.exists() or not missing_ok:
        UNLINK(path)


def refuse_to_tell(_: Path, what: str) -> None:
    raise AssertionError(what)
