"""While the page is open commands lose nothing: no part of its process opens a class file but through SQLite.

Source: SQLite, 'How To Corrupt An SQLite Database File', section 2.2.1 (read from memory): on POSIX, closing any
descriptor of a file drops all locks that the process holds on it, those of other threads too.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from grouper.errors import InputError
from grouper.faces.page.desk import Desk
from grouper.files.class_kind import is_class_file, refuse_class_file
from grouper.files.opening import open_file
from grouper.files.store import ClassFile
from tests.sheets.examples import every_aim

from .clients import NAME
from .serving import run

COMMAND = ("absent", NAME, "--lesson", "1", "0006")


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A planned class."""
    file = ClassFile(tmp_path / NAME)
    file.create(every_aim(), "made")
    return file


def test_no_look_at_a_class_file_takes_its_lock_away(file: ClassFile) -> None:
    """Whatever this process asks about the file in the middle of a change, a command has to wait, and gives up."""
    path = file.path
    with file.change("held") as edit:
        assert is_class_file(path) and Desk(path.parent).names == (NAME,)
        assert Desk(path.parent).file(NAME).read().record == edit.record
        with pytest.raises(InputError, match="is a class file"):
            refuse_class_file(path)
        with pytest.raises(InputError):
            open_file(path)
        refused = run(path.parent, *COMMAND)
    assert refused.returncode == 4, refused.stderr
    done = run(path.parent, *COMMAND)
    assert done.returncode == 0 and len(file.read().record.absences) > 0
