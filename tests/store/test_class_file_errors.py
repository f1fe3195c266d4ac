"""What stands at the path is not a class file that can be used: a clear word, never a traceback."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InputError, InUseError
from grouper.faces.cli.remedies import error_lines
from grouper.files.store import ClassFile


def refused(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        ClassFile(path).read()
    assert str(path) in str(caught.value)
    return next(error_lines(caught.value))


def test_no_such_file(tmp_path: Path) -> None:
    """The message says what makes the file, and none is made by looking."""
    file = ClassFile(tmp_path / "7b.class")
    assert "grouper plan makes it" in refused(file.path)
    assert not file.exists
    assert list(tmp_path.iterdir()) == []


def test_a_folder(tmp_path: Path) -> None:
    """A folder is called one, for reading and for making."""
    assert "is a folder" in refused(tmp_path)
    with pytest.raises(InputError, match="is a folder"):
        ClassFile(tmp_path).create(state(1), "plan")


def test_an_empty_file(tmp_path: Path) -> None:
    """SQLite would take an empty file for an empty database; it is no class file."""
    (tmp_path / "7b.class").touch()
    assert "is empty" in refused(tmp_path / "7b.class")


@pytest.mark.parametrize("content", [b"student_id,name\n1,Ada\n" * 50, b"x", b"PK\x03\x04" + b"\0" * 2000])
def test_a_file_of_another_kind(tmp_path: Path, content: bytes) -> None:
    """A roster given in the place of the class file is not touched."""
    path = tmp_path / "roster.csv"
    path.write_bytes(content)
    assert "is not a class file" in refused(path)
    assert path.read_bytes() == content


def test_a_database_of_somebody_else(tmp_path: Path) -> None:
    """An SQLite file of another program is not taken for ours."""
    path = tmp_path / "notes.db"
    with closing(sqlite3.connect(path)) as database:
        database.execute("CREATE TABLE student (key INTEGER PRIMARY KEY)")
    assert "is not a class file" in refused(path)


def test_a_file_of_a_newer_grouper(tmp_path: Path) -> None:
    """A form that this version does not know is left alone."""
    path = tmp_path / "7b.class"
    ClassFile(path).create(state(1), "plan")
    with closing(sqlite3.connect(path)) as database:
        database.execute("PRAGMA user_version = 99")
    before = path.read_bytes()
    assert "newer grouper" in refused(path)
    with pytest.raises(InputError, match="newer grouper"):
        ClassFile(path).undo()
    assert path.read_bytes() == before


def test_damaged_files(tmp_path: Path) -> None:
    """Whatever bytes are spoiled or cut off, reading gives a record or InputError, and undo does not crash either."""
    path = tmp_path / "7b.class"
    ClassFile(path).create(state(1), "plan")
    with ClassFile(path).change("state 2") as edit:
        edit.record = state(2)
    whole = path.read_bytes()
    draw = random.Random(7)
    refusals = 0
    for _ in range(80):
        path.write_bytes(spoiled(whole, draw))
        refusals += not survives(path)
    assert refusals > 30


def spoiled(whole: bytes, draw: random.Random) -> bytes:
    content = bytearray(whole)
    if draw.random() < 0.3:
        return bytes(content[: draw.randrange(1, len(content))])
    start = draw.randrange(len(content))
    for place in range(start, min(start + draw.choice((1, 20, 4096)), len(content))):
        content[place] = draw.randrange(256)
    return bytes(content)


def survives(path: Path) -> bool:
    try:
        ClassFile(path).read()
        ClassFile(path).history()
        ClassFile(path).undo()
        with ClassFile(path).change("state 3") as edit:
            edit.record = state(3)
    except InputError:
        return False
    return True


def test_create_leaves_alone_what_is_there(tmp_path: Path) -> None:
    """Any file at the path, class file or not, is kept and the maker told."""
    path = tmp_path / "7b.class"
    path.write_text("mine")
    with pytest.raises(InUseError, match="came into being"):
        ClassFile(path).create(state(1), "plan")
    assert path.read_text() == "mine"


def test_create_where_there_is_no_folder(tmp_path: Path) -> None:
    """The folder is not made behind the teacher's back."""
    with pytest.raises(InputError, match=r"7b\.class cannot be opened"):
        ClassFile(tmp_path / "year 7" / "7b.class").create(state(1), "plan")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["7b 100%.class", "sport?mode=memory#1.class", "体育 é.class", "a[1]*.class"])
def test_any_name_will_do(tmp_path: Path, name: str) -> None:
    """Signs that mean something in an address mean nothing in a file name."""
    file = ClassFile(tmp_path / name)
    file.create(state(1), "plan")
    assert file.read().record == state(1)
    assert [entry.name for entry in tmp_path.iterdir()] == [name]
