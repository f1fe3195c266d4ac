"""Putting a finished class file in its place in one step, what lies beside it, and what the next command finishes.

A change that lets go of something for good is two steps: the change itself, in which what goes is overwritten, and the
file written anew without the pages that were freed. The second takes as much room as the file has; until it is done the
stamp of the file says so (see ``history.py``).
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from grouper.errors import InputError
from grouper.files.atomic import (
    ANY_PART,
    OWNER_ALONE,
    PART,
    beside,
    left_beside,
    sweep_abandoned,
    sync_folder,
    unfinished_beside,
)
from grouper.files.store.connection import explained, pack, transaction
from grouper.files.store.history import is_to_pack, mark_packed
from grouper.words import Remedy

BACKUP = "backup"
DAMAGED_COPY = "damaged"


def check_place(path: Path) -> None:
    """Raise InputError where no file stands at the path, or none that could be a class file; it is not opened."""
    try:
        there = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        if path.is_symlink():
            raise InputError(
                "{path} is a link to a file that is not there", "delete the link, or correct it", path=path
            ) from None
        if aside := put_aside_of(path):
            raise InputError(
                "there is no class file {path}; {aside} beside it is the one from before, which was put aside and not "
                "replaced",
                Remedy.RESTORE_COPY,
                path=path,
                aside=aside[-1].name,
            ) from None
        raise InputError("there is no class file {path}", Remedy.MAKE_CLASS, path=path) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise InputError(
            "{path} cannot be opened ({why})", "check its name and who may read it", path=path, why=why
        ) from error
    if S_ISDIR(there.st_mode):
        raise InputError("{path} is a folder", "give the class file in it", path=path)
    if not S_ISREG(there.st_mode):
        raise InputError("{path} is no file but a pipe, a socket or a device", "give the class file", path=path)
    if there.st_size == 0:
        raise InputError("{path} is empty", Remedy.RESTORE_COPY, path=path)


def journal_of(path: Path) -> Path:
    """Where SQLite keeps what it needs to take back a change that did not come to its end."""
    return path.with_name(f"{path.name}-journal")


def place(draft: Path, path: Path) -> None:
    """Give a finished file its name, unless the name is taken.

    A hard link does it in one step. A file system that knows no links (many memory sticks) first gets an empty file
    that holds the name and then the finished one in its place.

    Raises
    ------
    FileExistsError
        The name is taken.
    """
    try:
        os.link(draft, path)
    except (FileExistsError, FileNotFoundError):
        raise
    except OSError:
        # The name is taken first: to replace without it could write over what another command made meanwhile.
        os.close(os.open(path, os.O_CREAT | os.O_EXCL, OWNER_ALONE))
        draft.replace(path)
    sync_folder(path.parent)


def sweep(path: Path) -> None:
    """Remove what commands that were killed while making ``path`` or a copy of it have left beside it."""
    for left in unfinished_beside(path):
        sweep_abandoned(left)


def copies_of(path: Path) -> tuple[Path, ...]:
    """What stands beside a class file and holds what it held: backups, files put aside, and what is unfinished.

    Reports, sheets and tables that were not written to their end are named too, whatever class they are of.
    """
    name = re.escape(path.name)
    copies = rf"{name}\.(?:form\d+-\d+\.{BACKUP}|{DAMAGED_COPY}-\d+(?:-journal)?)"
    parts = beside(path, rf"\..+\.[0-9a-f]{{8}}\.{ANY_PART}")
    return tuple(dict.fromkeys((*beside(path, copies), *unfinished_beside(path), *parts)))


def put_aside_of(path: Path) -> tuple[Path, ...]:
    """The files that ``restore`` has put aside for this one, damaged ones mostly, without their journals."""
    return beside(path, rf"{re.escape(path.name)}\.{DAMAGED_COPY}-\d+")


def restoring_mark(path: Path) -> Path:
    """What lies beside a class file from before ``restore`` puts the old one aside until it is done."""
    return path.with_name(f".{path.name}.restoring")


def backups_of(path: Path, form: int) -> tuple[Path, ...]:
    """The copies that were made before the file was brought from this form to a newer one."""
    return beside(path, rf"{re.escape(path.name)}\.form{form}-\d+\.{BACKUP}")


def finish(database: sqlite3.Connection, path: Path) -> str:
    """Finish what was left, where that can be done without waiting; nothing is said where it cannot.

    What other commands were writing beside the class when they were stopped goes too, once it is nobody's any more.

    Returns
    -------
    str
        A word on the file that was put aside where bringing back a copy was cut off right after; empty for none.
    """
    if is_to_pack(database):
        with _without_waiting(database), suppress(sqlite3.Error):
            _pack(database)
    beside_it = left_beside(path)
    left = [draft for draft in beside_it if not draft.name.endswith(PART)]
    for part in set(beside_it).difference(left):
        sweep_abandoned(part)
    if left:
        # Who makes a copy of the file holds its lock, and who makes the file itself comes too late: all are left over.
        with _without_waiting(database), suppress(sqlite3.Error), transaction(database, "IMMEDIATE"):
            for draft in left:
                with suppress(OSError):
                    draft.unlink()
    mark = restoring_mark(path)
    if not mark.exists():
        return ""
    with suppress(OSError):
        mark.unlink()
    aside = put_aside_of(path)
    if not aside:
        return ""
    return f"{path.name} is a copy that was brought back; {aside[-1].name} beside it is the file from before"


def check_finished(database: sqlite3.Connection, path: Path) -> None:
    """Raise InputError where the file has still to be written anew and that cannot be done now either."""
    if is_to_pack(database):
        left = write_anew(database, path)
        if left:
            raise InputError("nothing more was erased or cleared away", "from before: {left}", left=left)


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
