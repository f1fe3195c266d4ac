"""Opening a class file, transactions on it, and SQLite's errors in grouper's words."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from grouper.errors import GrouperError, InputError, InUseError

_PRAGMAS = (
    "journal_mode = DELETE",  # one file at rest, so that a plain copy is a full backup
    "synchronous = FULL",  # on the disk before a command says that it is done
    "secure_delete = ON",  # what is deleted is overwritten
    "temp_store = MEMORY",  # no copy of the names in the system's folder for temporary files
    "foreign_keys = ON",
    "trusted_schema = OFF",  # a class file may come from somebody else
)

_NOTHING_CHANGED = "nothing was changed"

_WORDS: dict[int, tuple[type[GrouperError], str]] = {
    sqlite3.SQLITE_BUSY: (InUseError, "is in use by another command; try again in a moment"),
    sqlite3.SQLITE_LOCKED: (InUseError, "is in use by another command; try again in a moment"),
    sqlite3.SQLITE_NOTADB: (InputError, "is not a class file; give the file that grouper plan made"),
    sqlite3.SQLITE_CORRUPT: (InputError, "is damaged; use your last copy of it"),
    sqlite3.SQLITE_READONLY: (InputError, "or its folder is write-protected; copy it to a folder of your own"),
    sqlite3.SQLITE_PERM: (InputError, "may not be opened; check who may read and write it"),
    sqlite3.SQLITE_CANTOPEN: (InputError, "cannot be opened; check that you may write in its folder"),
    sqlite3.SQLITE_IOERR: (InputError, f"cannot be read or written; check the disk ({_NOTHING_CHANGED})"),
    sqlite3.SQLITE_FULL: (InputError, f"does not fit on the disk; make room and try again ({_NOTHING_CHANGED})"),
    sqlite3.SQLITE_CONSTRAINT: (InputError, f"cannot hold this record ({_NOTHING_CHANGED})"),
}


@contextmanager
def connected(path: Path, wait: float) -> Iterator[sqlite3.Connection]:
    """A connection to a file that exists, to be closed at the end; ``wait`` is the patience with locks in seconds."""
    with in_words(path):
        database = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", timeout=wait, uri=True, isolation_level=None)
    with closing(database), in_words(path):
        yield database


def prepare(database: sqlite3.Connection) -> None:
    """Set what a connection to a class file has to keep to."""
    for pragma in _PRAGMAS:
        database.execute(f"PRAGMA {pragma}")


@contextmanager
def new_database(draft: Path, path: Path) -> Iterator[sqlite3.Connection]:
    """A new file that nobody else knows yet and that will become ``path``; it is thrown away where it fails."""
    with in_words(path), closing(sqlite3.connect(draft, isolation_level=None)) as database:
        database.execute("PRAGMA journal_mode = MEMORY")
        database.execute("PRAGMA foreign_keys = ON")
        yield database


@contextmanager
def transaction(database: sqlite3.Connection, kind: str) -> Iterator[None]:
    """All or nothing: ``IMMEDIATE`` takes the write lock first, ``DEFERRED`` sees one state of the file throughout."""
    database.execute(f"BEGIN {kind}")
    try:
        yield
        database.execute("COMMIT")
    except BaseException:
        if database.in_transaction:
            database.execute("ROLLBACK")
        raise


def pack(database: sqlite3.Connection) -> None:
    """Write the file anew without the pages that were freed."""
    database.execute("VACUUM")


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """SQLite's errors as grouper's: what is wrong with which file and what to try."""
    try:
        yield
    except sqlite3.Error as error:
        kind, words = _explained(error)
        raise kind(f"{path} {words}") from error


@contextmanager
def storable() -> Iterator[None]:
    """Around what writes: values that SQLite has no way to hold are bad input."""
    try:
        yield
    except (OverflowError, UnicodeEncodeError) as error:
        raise InputError(f"a class file cannot hold a value of this record: {error} ({_NOTHING_CHANGED})") from error


def _explained(error: sqlite3.Error) -> tuple[type[GrouperError], str]:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    kind, words = _WORDS.get(code, (InputError, "cannot be understood; use your last copy of it"))
    return kind, f"{words} [{error}]" if kind is InputError else words
