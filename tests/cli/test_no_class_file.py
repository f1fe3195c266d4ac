"""What stands in the place of a class file, or beside it: every command says so in a sentence and waits for nothing."""

from __future__ import annotations

import ctypes
import os
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest

from grouper.faces.cli.entry import COMMANDS, cli
from grouper.files.store import ClassFile

from .shell import grouper
from .tables import ClassOnDisk, a_class, activity


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(path))


def _dangling(path: Path) -> None:
    path.symlink_to(path.with_name("nowhere.class"))


def _loop(path: Path) -> None:
    path.symlink_to(path)


def _empty(path: Path) -> None:
    path.touch()


STATES: dict[str, Callable[[Path], None]] = {
    "pipe": _pipe,
    "socket": _socket,
    "dangling link": _dangling,
    "link to itself": _loop,
    "folder": Path.mkdir,
    "empty": _empty,
}


def _call(name: str, path: Path) -> list[str] | None:
    """A command with whatever it needs beside the class file; None where it takes none."""
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    if not any(param.name == "class_path" for param in command.params):
        return None
    words: list[str] = []
    for param in command.params:
        if param.name == "class_path":
            words.append(str(path))
        elif param.required:
            value = "1" if isinstance(param.type, click.types.IntParamType) else str(path.with_name("other.csv"))
            words += [param.opts[0], value] if isinstance(param, click.Option) else ["1=1"]
    return words


LEFT_OUT = ("page", "restore")
WITH_CLASS = sorted(name for name in COMMANDS if name not in LEFT_OUT and _call(name, Path("7b.class")) is not None)


@pytest.mark.parametrize("state", STATES)
def test_every_command_says_what_stands_there(tmp_path: Path, state: str) -> None:
    """Exit 2 with one line, or with what else is missing; never a fault of ours, and nothing is made or lost."""
    path = tmp_path / "7b.class"
    STATES[state](path)
    assert len(WITH_CLASS) > 25
    for name in WITH_CLASS:
        call = _call(name, path)
        assert call is not None
        said = grouper(name, *call, status=2)
        assert "Traceback" not in said.err and said.err.strip(), name
    assert [entry.name for entry in tmp_path.iterdir()] == ["7b.class"]


@pytest.fixture
def disk(tmp_path: Path) -> ClassOnDisk:
    """A planned class of 8."""
    made = a_class(tmp_path, 8, [activity(1, "pairs", 2, rounds=2)])
    made.plan()
    return made


@pytest.mark.parametrize("name", ["x" * 300 + ".class", "no such folder/7b.class"])
def test_names_that_cannot_be(disk: ClassOnDisk, name: str) -> None:
    """For reading and for making."""
    path = disk.folder / name
    for said in (
        grouper("lesson", path, 1, status=2),
        grouper("plan", path, "--roster", disk.roster, "--lessons", disk.lessons, status=2),
    ):
        # One line of at most 300 letters: of a name that is longer its beginning and its end.
        assert str(disk.folder) in said.err and name[-9:] in said.err
        assert len(said.err.splitlines()) == 1 and len(said.err) <= 301


def test_what_a_roster_is_read_from(disk: ClassOnDisk) -> None:
    """A pipe that nobody writes to is not waited for."""
    pipe = disk.folder / "roster"
    os.mkfifo(pipe)
    assert "pipe" in grouper("import", disk.file, "--roster", pipe, status=2).err


WRITING = [("out.csv", "export", "--groups"), ("out.html", "report", "--to"), ("out.html", "own-data", "k01", "--to")]


@pytest.mark.parametrize("command", WRITING)
def test_what_a_file_is_written_to(disk: ClassOnDisk, command: tuple[str, ...]) -> None:
    """A pipe stays one: it is neither waited for nor replaced."""
    file, name, *words = command
    pipe = disk.folder / file
    os.mkfifo(pipe)
    assert "pipe" in grouper(name, disk.file, *words, pipe, status=2).err
    assert pipe.is_fifo()


@pytest.mark.parametrize("command", WRITING)
def test_what_is_written_is_for_its_owner_alone(disk: ClassOnDisk, command: tuple[str, ...]) -> None:
    """Whatever the system usually lets others read; also in the place of a file that others could read."""
    old = os.umask(0)
    file, name, *words = command
    path = disk.folder / file
    path.touch(0o644)
    try:
        grouper(name, disk.file, *words, path)
        grouper("handover", disk.file, "--to", disk.folder / "next.class")
    finally:
        os.umask(old)
    assert {p.name: p.stat().st_mode & 0o777 for p in (path, disk.folder / "next.class", disk.file)} == {
        file: 0o600,
        "next.class": 0o600,
        disk.file.name: 0o600,
    }


def test_ten_thousand_files_beside_it(disk: ClassOnDisk) -> None:
    """They cost a command no time that is felt, and no word."""
    crowd = disk.folder / "crowd"
    crowd.mkdir()
    for number in range(10_000):
        (crowd / f"{number}.txt").touch()
    path = crowd / "7b.class"
    path.write_bytes(disk.file.read_bytes())
    grouper("absent", path, "--lesson", 1, "k01")
    assert "did you mean" in grouper("import", path, "--roster", crowd / "9999.tx", status=2).err


def test_a_school_goes_on_without_what_cannot_be_read(disk: ClassOnDisk) -> None:
    """Each is named with what is wrong; the others are planned, and the status tells."""
    for number, state in enumerate(STATES):
        STATES[state](disk.folder / f"{number} {state}.class")
    spoiled = bytearray(disk.file.read_bytes())
    spoiled[4096:20_000] = b"\xff" * (20_000 - 4096)
    (disk.folder / "damaged.class").write_bytes(spoiled)
    said = grouper("school", disk.folder, "--effort", "quick", status=2)
    assert "1 of 8 classes planned" in said.out
    for name in (*(f"{number} {state}.class" for number, state in enumerate(STATES)), "damaged.class"):
        assert f"{name}:" in said.err


def test_restore_brings_a_copy_back(disk: ClassOnDisk) -> None:
    """Over a damaged file that is kept, and the words name both."""
    copy = disk.folder / "copy.class"
    copy.write_bytes(disk.file.read_bytes())
    before = disk.exported()
    disk.file.write_bytes(copy.read_bytes()[:9000])
    assert "grouper restore" in grouper("lesson", disk.file, 1, status=2).err
    said = grouper("restore", disk.file, "--from", copy)
    assert f"{disk.file.name}.damaged-1" in said.out
    assert disk.exported() == before


def bound_by_rights() -> None:
    """Have this process keep to the rights of files and folders as any user has to, also where it is the system's own.

    What a program started from here may do is bounded (capabilities(7): PR_CAPBSET_DROP is 24, CAP_DAC_OVERRIDE 1,
    CAP_DAC_READ_SEARCH 2; read from memory); where it is no more than a user, nothing is left to take.
    """
    system = ctypes.CDLL(None)
    for capability in (1, 2):
        system.prctl(24, capability, 0, 0, 0)


@pytest.mark.skipif(sys.platform != "linux", reason="rights are taken from a process in the way of Linux")
def test_a_folder_that_may_not_be_written_in(disk: ClassOnDisk) -> None:
    """What reads the class works there; what writes says so in a line, and leaves nothing behind."""
    before = {path.name: path.read_bytes() for path in disk.folder.iterdir()}
    (student, *_) = ClassFile(disk.file).read().record.roster.students
    disk.folder.chmod(0o555)
    try:
        for status, arguments in (
            (0, ("history", disk.file)),
            (0, ("lesson", disk.file, "1")),
            (2, ("absent", disk.file, "--lesson", "1", student.id)),
            (2, ("export", disk.file, "--groups", disk.folder / "groups.csv")),
            (2, ("report", disk.file, "--to", disk.folder / "unit.html")),
            (2, ("purge", disk.file, "--yes")),
            (2, ("restore", disk.folder / "new.class", "--from", disk.file)),
        ):
            code = f"from grouper.faces.cli.entry import main; main({[str(argument) for argument in arguments]!r})"
            done = subprocess.run(
                [sys.executable, "-c", code], preexec_fn=bound_by_rights, capture_output=True, text=True, check=False
            )
            assert done.returncode == status, (arguments, done.stderr)
            assert status == 0 or (done.stderr.startswith("grouper: ") and done.stderr.count("\n") == 1), done.stderr
        assert {path.name: path.read_bytes() for path in disk.folder.iterdir()} == before
    finally:
        disk.folder.chmod(0o755)
