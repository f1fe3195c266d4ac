"""Opening a class file, transactions on it, and SQLite's errors in grouper's words."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from grouper.errors import GrouperError, InputError, InUseError
from grouper.model.texts import tidy
from grouper.words import Remedy

LONGEST_TEXT = 250_000
"""Bytes of the longest text or row that a class file may hold, ways back apart."""

LONGEST_WAY_BACK = 16_000_000
"""Bytes of the longest way back: a thousand students planned anew take 3 million."""

_LONGEST_SQL = 10_000
"""Bytes of the longest statement that makes a table; ours have 700."""

_STEPS = 20_000
"""Steps of SQLite's machine, in which today's tables are looked over many times, and a million of them are not."""

_LONGEST_REASON = 120

_PRAGMAS = (
    "synchronous = EXTRA",  # on the disk, the journal's end too, before a command says that it is done
    "secure_delete = ON",  # what is deleted is overwritten
    "cell_size_check = ON",  # damage is found when a page is read, not when it is used
    "temp_store = MEMORY",  # no copy of the names in the system's folder for temporary files
    "foreign_keys = ON",
    "trusted_schema = OFF",  # a class file may come from somebody else
)

_NOTHING_CHANGED = "nothing was changed"

Explained = tuple[type[GrouperError], str, Remedy | str]
"""Which of grouper's errors one of SQLite's is, what is wrong with the file, and what to try."""

DAMAGED: Explained = (InputError, "is damaged", Remedy.RESTORE_COPY)

_WORDS: dict[int, Explained] = {
    sqlite3.SQLITE_BUSY: (InUseError, "is in use by another command", "try again in a moment"),
    sqlite3.SQLITE_LOCKED: (InUseError, "is in use by another command", "try again in a moment"),
    sqlite3.SQLITE_NOTADB: (InputError, "is not a class file", Remedy.GIVE_CLASS_FILE),
    sqlite3.SQLITE_CORRUPT: DAMAGED,
    sqlite3.SQLITE_READONLY: (InputError, "or its folder is write-protected", "copy it to a folder of your own"),
    sqlite3.SQLITE_PERM: (InputError, "may not be opened", "check who may read and write it"),
    sqlite3.SQLITE_CANTOPEN: (InputError, "cannot be opened", "check that you may write in its folder"),
    sqlite3.SQLITE_IOERR: (InputError, "cannot be read or written", f"check the disk ({_NOTHING_CHANGED})"),
    sqlite3.SQLITE_FULL: (InputError, "does not fit on the disk", f"make room and try again ({_NOTHING_CHANGED})"),
    sqlite3.SQLITE_TOOBIG: (InputError, "cannot hold a text as long as one of these", _NOTHING_CHANGED),
    sqlite3.SQLITE_INTERRUPT: DAMAGED,
    sqlite3.SQLITE_CONSTRAINT: (InputError, "cannot hold this record", _NOTHING_CHANGED),
}


@contextmanager
def connected(path: Path, wait: float) -> Iterator[sqlite3.Connection]:
    """A connection to a file that exists, to be closed at the end; ``wait`` is the patience with locks in seconds."""
    with in_words(path):
        database = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", timeout=wait, uri=True, isolation_level=None)
    with closing(database), in_words(path):
        yield database


def prepare(database: sqlite3.Connection) -> None:
    """Set what a connection to a class file has to keep to.

    The first look at the tables, which the first of these takes already, takes in all that stands in
    ``sqlite_master``, however much that is: it is bounded until ``trust_tables``.
    """
    database.set_progress_handler(lambda: True, _STEPS)
    database.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LONGEST_SQL)
    for pragma in _PRAGMAS:
        database.execute(f"PRAGMA {pragma}")


def trust_tables(database: sqlite3.Connection) -> None:
    """Have statements take as long as they do, on texts as long as a class file may hold: the tables are ours."""
    database.set_progress_handler(None, 0)
    database.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LONGEST_TEXT)


@contextmanager
def with_ways_back(database: sqlite3.Connection) -> Iterator[None]:
    """Around what reads, writes or copies ways back, which are longer than any other text."""
    database.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, 2 * LONGEST_WAY_BACK)
    try:
        yield
    finally:
        database.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LONGEST_TEXT)


@contextmanager
def new_database(draft: Path, path: Path) -> Iterator[sqlite3.Connection]:
    """A new file, for its owner alone, that nobody else knows yet and that will become ``path``."""
    # Made before SQLite opens it, which would make it as the system usually has it, for others to read.
    os.close(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    with in_words(path), closing(sqlite3.connect(draft, isolation_level=None)) as database:
        # Nobody knows the file yet: if this fails it is thrown away, and no journal has to bring it back.
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
        # SQLite ends a transaction itself after some errors, such as a full disk.
        if database.in_transaction:
            database.execute("ROLLBACK")
        raise


def pack(database: sqlite3.Connection) -> None:
    """Write the file anew without the pages that were freed."""
    with with_ways_back(database):
        database.execute("VACUUM")


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """SQLite's errors as grouper's: what is wrong with which file and what to try."""
    try:
        yield
    except sqlite3.Error as error:
        kind, wrong, remedy = explained(error)
        journal = path.with_name(f"{path.name}-journal")
        why = f" ({reason(error)})" if kind is InputError else ""
        if remedy is Remedy.RESTORE_COPY and os.path.lexists(journal):
            # Without its journal no copy of a file is whole.
            why += f"; {journal.name} beside it belongs to it: copy both or neither, and do not delete it"
        raise kind("{path} {wrong}{why}", remedy, path=path, wrong=wrong, why=why) from error


def reason(error: Exception) -> str:
    """What an error says, in one line that is not long, whatever the file had it say."""
    said = tidy(str(error))
    return said if len(said) <= _LONGEST_REASON else f"{said[:_LONGEST_REASON]} ..."


@contextmanager
def storable() -> Iterator[None]:
    """Around what writes: values that SQLite has no way to hold are bad input."""
    try:
        yield
    except (OverflowError, UnicodeEncodeError) as error:
        raise InputError(
            "a class file cannot hold a value of this record: {reason} ({nothing_changed})",
            reason=error,
            nothing_changed=_NOTHING_CHANGED,
        ) from error


def explained(error: sqlite3.Error) -> Explained:
    """Which of grouper's errors it is, what is wrong with the file, and what to try."""
    code = getattr(error, "sqlite_errorcode", 0)
    # The file was renamed or replaced while it was open, as by a restore.
    if code == sqlite3.SQLITE_READONLY_DBMOVED:
        return InUseError, "was replaced by another command meanwhile", "run this one again"
    return _WORDS.get(code & 0xFF, DAMAGED)
