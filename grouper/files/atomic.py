"""Writing files so that they are there whole or not at all, and for their owner alone from the first byte.

Nothing is written over a class file. It is told from any other by its place and through SQLite alone: on POSIX, closing
any descriptor of a file drops every lock that the process has on it, so that one ``open`` here would let another
program into the middle of a change. SQLite keeps its descriptors until nothing is locked any more (SQLite, 'How To
Corrupt An SQLite Database File', 2.2).
"""

from __future__ import annotations

import os
import re
import secrets
import sqlite3
import time
from collections.abc import Collection, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from functools import lru_cache
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from grouper.errors import InputError

_GROUPER = int.from_bytes(b"grup")
"""What SQLite calls the application id of a class file."""

_SMALLEST = 512
"""Bytes of the smallest page of SQLite; a file is whole pages ('Database File Format', 1.3.2)."""

_REMEMBERED = 20_000
"""Files whose answer is remembered until they change: more than a folder of class files ever has."""


def is_class_file(path: Path) -> bool:
    """Whether a class file stands at the path, sound or damaged; pipes, folders and links to nowhere are none."""
    try:
        there = path.stat()
    except (OSError, ValueError):
        return False
    if not S_ISREG(there.st_mode) or there.st_size < _SMALLEST:
        return False
    identity = (there.st_dev, there.st_ino, there.st_size, there.st_mtime_ns)
    try:
        return _looked_at(path.absolute(), *identity)
    except sqlite3.Error:
        return False  # which may be another time, and is not remembered


@lru_cache(_REMEMBERED)
def _looked_at(path: Path, *_identity: int) -> bool:
    """What SQLite says of a file that stood there with this identity; it is neither locked nor repaired.

    What this number is does not change while a file lives, so that a look beside a change sees it as well.
    """
    try:
        with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as database:
            number: int = database.execute("PRAGMA application_id").fetchone()[0]
            return number == _GROUPER
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode == sqlite3.SQLITE_NOTADB:
            return False
        if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_CORRUPT:
            # It may be a class file: that it is damaged is told where it is opened, and nothing is written over it.
            return True
        raise


def refuse_class_file(path: Path) -> None:
    """Raise InputError where a class file stands at the path that something else is to be written to."""
    if is_class_file(path):
        raise InputError("{path} is a class file and is not written over", "give another name", path=path)


FILE, FOLDER, NO_FILE = "file", "folder", "no file"

PART = "grouper-part"
"""Ends the name of a file in the making that is not a class file; nobody else's files have it."""

ANY_PART = "(?:grouper-)?part"
"""The ending of today, and that of before, which other programs use too."""

OWNER_ALONE = 0o600
EVERYBODY = 0o666
"""Less what the system takes away (umask)."""

_ABANDONED = 60.0
"""Seconds after which an unfinished file belongs to nobody: writing one takes well under a second."""


def write_whole(path: Path, data: bytes) -> None:
    """Write a file in one step: whoever looks sees the old file or the whole new one, and nobody else may read it.

    Raises
    ------
    InputError
        The folder is not there, the file cannot be written, or it is a class file.
    """
    refuse_to_replace(path)
    try:
        write_together({path: data})
    except (OSError, ValueError) as error:
        why, remedy = getattr(error, "strerror", None) or error, "close it in other programs, or choose another place"
        if kind_at(path.parent) != FOLDER:
            remedy = f"there is no folder {path.parent}; make it first"
        raise InputError("{path} cannot be written ({why})", "{remedy}", path=path, why=why, remedy=remedy) from error


def refuse_to_replace(path: Path) -> None:
    """Raise InputError where something stands at the path that no file is put in the place of."""
    kind = kind_at(path)
    if kind == FOLDER:
        raise InputError("{path} is a folder", "give the name of a file in it", path=path)
    if kind == NO_FILE:
        raise InputError("{path} is no file but a pipe or a device", "give the name of a file", path=path)
    refuse_class_file(path)


def kind_at(path: Path) -> str:
    """What stands at a path, links followed: FILE, FOLDER, NO_FILE (a pipe, a socket or a device), or nothing."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return ""
    return FOLDER if S_ISDIR(mode) else FILE if S_ISREG(mode) else NO_FILE


def write_together(files: Mapping[Path, bytes], for_everybody: Collection[Path] = ()) -> None:
    """Write files, each in one step, when all of them are complete; OSError where that cannot be.

    Those ``for_everybody`` may be read by others on the machine, as the system usually has it; all others may not.
    """
    drafts = {path: path.with_name(f".{path.name}.{secrets.token_hex(4)}.{PART}") for path in files}
    try:
        for path, data in files.items():
            for left in unfinished_beside(path, ANY_PART):
                sweep_abandoned(left)
            _write_through(drafts[path], data, EVERYBODY if path in for_everybody else OWNER_ALONE)
        for path, draft in drafts.items():
            draft.replace(path)
    finally:
        for draft in drafts.values():
            with suppress(OSError, ValueError):
                draft.unlink(missing_ok=True)
    for folder in {path.parent for path in files}:
        sync_folder(folder)


def _write_through(part: Path, data: bytes, mode: int) -> None:
    with open(part, "xb", opener=lambda name, flags: os.open(name, flags, mode)) as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have what the folder lists on the disk, where the system can do so."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def unfinished(path: Path) -> Iterator[Path]:
    """A hidden name beside ``path`` for a file in the making; what stands there at the end is removed."""
    draft = path.with_name(f".{path.name}.{secrets.token_hex(4)}.unfinished")
    try:
        yield draft
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)


def unfinished_beside(path: Path, ending: str = f"(?:{ANY_PART}|unfinished)") -> tuple[Path, ...]:
    """What is left beside a file of making it, or a copy of it, that did not come to its end; its journal, too."""
    return beside(path, rf"\.{re.escape(path.name)}\.[0-9a-f]+\.{ending}(?:[-.].*)?")


def left_beside(path: Path) -> tuple[Path, ...]:
    """What the next command on a class file finds: copies of it that are unfinished, and parts of any name."""
    return beside(path, rf"\.{re.escape(path.name)}\.[0-9a-f]+\.unfinished(?:[-.].*)?|\..+\.[0-9a-f]{{8}}\.{PART}")


def sweep_abandoned(left: Path) -> None:
    """Remove an unfinished file that is so old that nobody can be at work on it."""
    with suppress(OSError):
        if time.time() - left.stat().st_mtime > _ABANDONED:
            left.unlink()


def beside(path: Path, names: str) -> tuple[Path, ...]:
    """The files of the same folder whose whole names match a pattern, by the alphabet; quick in a full folder too."""
    like = re.compile(names).fullmatch
    with suppress(OSError), os.scandir(path.parent) as entries:
        return tuple(path.with_name(name) for name in sorted(entry.name for entry in entries if like(entry.name)))
    return ()
