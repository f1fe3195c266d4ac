"""A new file gets its name in one step, on any file system, and nothing unfinished is left lying about."""

from __future__ import annotations

import errno
import os
import time
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InUseError
from grouper.files.atomic import write_whole
from grouper.files.store import ClassFile


@pytest.fixture
def no_links(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)


@pytest.mark.usefixtures("no_links")
def test_create_without_links(tmp_path: Path) -> None:
    """A memory stick that knows no links (FAT says EPERM) holds class files too."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "plan")
    assert file.read().record == state(1)
    assert list(tmp_path.iterdir()) == [file.path]


@pytest.mark.parametrize("links", [True, False])
def test_who_comes_second_is_told(tmp_path: Path, links: bool, request: pytest.FixtureRequest) -> None:
    """A file that comes into being after the first look, at the last moment, is not overwritten."""
    if not links:
        request.getfixturevalue("no_links")
    file = SecondComer(tmp_path / "7b.class")
    with pytest.raises(InUseError, match="came into being"):
        file.create(state(1), "plan")
    assert file.path.read_text() == "first"
    assert list(tmp_path.iterdir()) == [file.path]


class SecondComer(ClassFile):
    """Sees no file at the first look, and then somebody makes one."""

    @property
    def exists(self) -> bool:
        self.path.write_text("first")
        return False


def test_leftovers_of_killed_commands_are_swept(tmp_path: Path) -> None:
    """Making a file removes unfinished ones of the same name that are older than a minute, and no others."""
    old, fresh, foreign = (tmp_path / name for name in (".7b.class.0a.unfinished", ".7b.class.0b.unfinished", ".8c"))
    for path in (old, fresh, foreign):
        path.touch()
    for path in (old, foreign):
        os.utime(path, (time.time() - 61, time.time() - 61))
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "plan")
    assert sorted(tmp_path.iterdir()) == sorted([file.path, fresh, foreign])


def test_what_was_not_written_to_its_end_goes_when_the_class_is_next_opened(tmp_path: Path) -> None:
    """A report of any name, once nobody can be at work on it; files of other programs are left alone."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "plan")
    ours = tmp_path / ".report.html.0a1b2c3d.grouper-part"
    others = (".film.mp4.0a1b2c3d.part", "report.grouper-part", ".report.html.grouper-part")
    theirs = [tmp_path / name for name in others]
    for path in (ours, *theirs):
        path.write_text("half")
    file.read()
    assert ours.exists(), "somebody may be writing it"
    an_hour_ago = time.time() - 3600
    for path in (ours, *theirs):
        os.utime(path, (an_hour_ago, an_hour_ago))
    file.history()
    assert not ours.exists() and all(path.exists() for path in theirs)


def test_a_file_in_the_making_has_a_name_that_is_swept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed while a report is written, the next command on the class beside it removes what is left."""
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(1), "plan")
    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", killed)
        patch.setattr(Path, "unlink", lambda *_, **__: None)
        with pytest.raises(KeyboardInterrupt):
            write_whole(tmp_path / "report.html", b"whole")
    (left,) = set(tmp_path.iterdir()) - {file.path}
    assert left in file.backups, "erase names it"
    os.utime(left, (0, 0))
    file.read()
    assert list(tmp_path.iterdir()) == [file.path]


def killed(*_: object) -> None:
    raise KeyboardInterrupt
