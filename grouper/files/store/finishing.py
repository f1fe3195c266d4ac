"""What a command that was stopped, or had no room on the disk, has left to do: the next one does it.

A change that lets go of something for good is two steps: the change itself, in which what goes is overwritten, and the
file written anew without the pages that were freed. The second takes as much room as the file has; until it is done the
stamp of the file says so (see ``history.py``).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from grouper.errors import InputError
from grouper.files.atomic import unfinished_beside
from grouper.files.store.connection import explained, pack, transaction
from grouper.files.store.history import is_to_pack, mark_packed


def finish(database: sqlite3.Connection, path: Path) -> None:
    """Finish what was left, where that can be done without waiting; nothing is said where it cannot."""
    if is_to_pack(database):
        with _without_waiting(database), suppress(sqlite3.Error):
            _pack(database)
    left = unfinished_beside(path, "unfinished")
    if left:
        # Who makes a copy of the file holds its lock, and who makes the file itself comes too late: all are left over.
        with _without_waiting(database), suppress(sqlite3.Error), transaction(database, "IMMEDIATE"):
            for draft in left:
                with suppress(OSError):
                    draft.unlink()


def check_finished(database: sqlite3.Connection, path: Path) -> None:
    """Raise InputError where the file has still to be written anew and that cannot be done now either."""
    if is_to_pack(database):
        left = write_anew(database, path)
        if left:
            raise InputError(f"nothing more was erased or cleared away; from before: {left}")


def write_anew(database: sqlite3.Connection, path: Path) -> str:
    """Write a file that let go of something anew; what is left to do, in a sentence, empty where it is done."""
    try:
        _pack(database)
    except sqlite3.Error as error:
        _, why, _ = explained(error)
        return (
            f"what went is overwritten, but {path} could not be written anew without the room that it took, as it "
            f"{why}; any next command on the file does it, once there is room for a second file of its size"
        )
    return ""


def _pack(database: sqlite3.Connection) -> None:
    pack(database)
    with transaction(database, "IMMEDIATE"):
        mark_packed(database)


@contextmanager
def _without_waiting(database: sqlite3.Connection) -> Iterator[None]:
    """Around what is left alone where another command is at work on the file."""
    (patience,) = database.execute("PRAGMA busy_timeout").fetchone()
    database.execute("PRAGMA busy_timeout = 0")
    try:
        yield
    finally:
        database.execute(f"PRAGMA busy_timeout = {patience}")
