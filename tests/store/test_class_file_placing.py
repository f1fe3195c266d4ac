"""A new file gets its name in one step, on any file system, and nothing unfinished is left lying about."""

from __future__ import annotations

import errno
import os
import time
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InUseError
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
