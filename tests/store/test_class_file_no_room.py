"""No room on the disk: what is said is what is so, and what is left is done by the next command."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InputError
from grouper.files.store import ClassFile, placing
from grouper.model.roster import Student

HERE = Path(__file__).parent
LEAVER = Student("id-qzx", "Qzxina Wvyk", {"throw": 0.5}, last_lesson=4)

ERASING = """
import resource, sys
from grouper.errors import GrouperError
from grouper.files.store import ClassFile, placing
path, *rooms = sys.argv[1:]
pack = placing.pack
def limit(room):
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(room), resource.RLIM_INFINITY))
def packing(database):
    limit(rooms[1])
    pack(database)
placing.pack = packing
limit(rooms[0])
try:
    print("left", ClassFile(path).forget("001"))
except GrouperError as error:
    print("refused", error)
"""
"""A limit on the size of any file, which needs no rights to set: a write beyond it fails as on a full disk."""

NONE, HALF, AMPLE = 4096, 40_000, 10**9


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A file in which somebody can be erased, with much in its list of changes."""
    made = ClassFile(tmp_path / "7b.class")
    made.create(state(1), "made")
    for number in range(2, 6):
        with made.change("absent: Qzxina") as edit:
            found = state(number)
            gone = replace(found.roster.by_id["001"], name=LEAVER.name, last_lesson=4)
            edit.record = replace(found, roster=found.roster.with_student(gone))
    return made


def erase_with_room(file: ClassFile, erasing: int, packing: int) -> tuple[str, str]:
    said = subprocess.run(
        [sys.executable, "-c", ERASING, str(file.path), str(erasing), str(packing)],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(HERE.parent.parent)},
        check=True,
    ).stdout
    word, _, rest = said.strip().partition(" ")
    return word, rest


@pytest.mark.parametrize("room", [NONE, HALF])
def test_no_room_for_the_change(file: ClassFile, room: int) -> None:
    """Nothing was changed, as it says."""
    before = file.path.read_bytes()
    word, rest = erase_with_room(file, room, AMPLE)
    assert word == "refused" and "nothing was changed" in rest
    assert file.read().record.roster.by_id["001"].name == LEAVER.name
    assert file.path.read_bytes() == before


@pytest.mark.parametrize("room", [NONE, HALF])
def test_room_for_the_change_and_none_to_write_the_file_anew(file: ClassFile, room: int) -> None:
    """The student is erased, as it says, and what is left to do is done by the next command, whatever it is."""
    before = file.path.stat().st_size
    word, rest = erase_with_room(file, AMPLE, room)
    assert word == "left" and "could not be written anew" in rest and "any next command" in rest
    assert "nothing was" not in rest
    held = file.path.read_bytes()
    assert b"Qzx" not in held and b"Wvyk" not in held and len(held) >= before
    assert [change.what for change in file.history()] == ["a student was erased"]
    assert file.path.stat().st_size < before, "written anew"
    assert file.read().record.roster.by_id["student 1"]


def test_room_for_all_of_it(file: ClassFile) -> None:
    """Nothing is left to do."""
    assert erase_with_room(file, AMPLE, AMPLE) == ("left", "")


def test_a_second_erasing_says_what_is_left_of_the_first(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """As long as there is no room, nothing more is erased; the state of the file is the same before and after."""

    def full(_: object) -> None:
        error = sqlite3.OperationalError("database or disk is full")
        error.sqlite_errorcode = 13
        raise error

    version = file.read().version
    with monkeypatch.context() as patch:
        patch.setattr(placing, "pack", full)
        assert "written anew" in file.forget("001")
        between = file.read().version
        assert between != version
        with pytest.raises(InputError, match=r"nothing more was erased.*what went is overwritten"):
            file.forget("002")
    assert file.read().version == between
    with pytest.raises(InputError, match="still in the class"):
        file.forget("002")
