"""Telling a class file from any other, so that nothing else is listed as one or ever written over one.

Only by its place and through SQLite: on POSIX, closing any descriptor of a file drops every lock that the process has
on it, so that one ``open`` here would let another program into the middle of a change. SQLite keeps its descriptors
until nothing is locked any more (SQLite, 'How To Corrupt An SQLite Database File', 2.2).
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from functools import lru_cache
from pathlib import Path
from stat import S_ISREG

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
        raise InputError(f"{path} is a class file and is not written over; give another name")
