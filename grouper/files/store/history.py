"""The log of changes: number, when, what in words, and the way back."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from datetime import UTC, datetime

from grouper.errors import InputError
from grouper.files.store.difference import Difference, difference, difference_from
from grouper.files.store.rows import Rows
from grouper.files.store.schema import TABLES

KEPT = 100
"""How many changes are kept in the log."""

MADE = "it made the class file"
ERASED = "it erased a student, and everything from before that could hold them"
RENEWED = "the file has been brought to a newer form since"


@dataclass(frozen=True)
class Change:
    """One change of a class file.

    Parameters
    ----------
    number
        Counts up; undone changes give their number back.
    at
        When it was done, in UTC, to the second.
    what
        The change in words, as given by the command that made it.
    lasting
        Why it cannot be undone, empty where it can.
    """

    number: int
    at: datetime
    what: str
    lasting: str = ""


def version_of(database: sqlite3.Connection) -> str:
    """The stamp of the state that the file is in."""
    version: str = database.execute("SELECT version FROM stamp").fetchone()[0]
    return version


def stamp(database: sqlite3.Connection) -> str:
    """Mark a new state with a stamp that no other state of any class file has.

    It is drawn at random rather than counted: after an undo or a copy brought back the same count would come again for
    another state.
    """
    version = os.urandom(8).hex()
    database.execute("INSERT OR REPLACE INTO stamp VALUES (1, ?)", (version,))
    return version


def log(database: sqlite3.Connection, what: str, way_back: Difference | None, lasting: str = "") -> None:
    """Add a change, and let go of those beyond the last KEPT, and of what had been taken back before."""
    database.execute("DELETE FROM undone")
    at = datetime.now(UTC).isoformat(timespec="seconds")
    undo = None if way_back is None else way_back.as_text()
    added = database.execute(
        "INSERT INTO change (at, what, undo, lasting) VALUES (?, ?, ?, ?)", (at, what, undo, lasting)
    )
    database.execute("DELETE FROM change WHERE number <= ?", ((added.lastrowid or 0) - KEPT,))


def changes(database: sqlite3.Connection) -> tuple[Change, ...]:
    """The changes that are kept, oldest first."""
    rows = database.execute("SELECT number, at, what, lasting FROM change ORDER BY number")
    return tuple(Change(number, datetime.fromisoformat(at), what, lasting) for number, at, what, lasting in rows)


def take_back(database: sqlite3.Connection) -> Change:
    """Undo the last change and take it off the log.

    Raises
    ------
    InputError
        The last change is one that cannot be undone, or is no longer kept.
    """
    kept = changes(database)
    if not kept:
        raise InputError("there is nothing to undo: no earlier change is kept")
    last = kept[-1]
    if last.lasting:
        raise InputError(f"there is nothing to undo: the last change was '{last.what}', and {last.lasting}")
    undo = database.execute("SELECT undo FROM change WHERE number = ?", (last.number,)).fetchone()[0]
    before = stored_rows(database)
    difference_from(undo).carry_out(database)
    forth = difference(stored_rows(database), before).as_text()
    at = last.at.isoformat(timespec="seconds")
    database.execute("INSERT INTO undone VALUES (?, ?, ?, ?)", (last.number, at, last.what, forth))
    database.execute("DELETE FROM change WHERE number = ?", (last.number,))
    return last


def undone(database: sqlite3.Connection) -> Change | None:
    """The change that can be done again: the one that was taken back last; None where another was made since."""
    row = database.execute("SELECT number, at, what FROM undone ORDER BY number LIMIT 1").fetchone()
    return Change(row[0], datetime.fromisoformat(row[1]), row[2]) if row else None


def do_again(database: sqlite3.Connection) -> Change:
    """Do the change again that was taken back last, and put it back in the log.

    Raises
    ------
    InputError
        Nothing was taken back, or another change was made since.
    """
    change = undone(database)
    if change is None:
        raise InputError("there is nothing to do again: nothing was taken back since the last change")
    redo = database.execute("SELECT redo FROM undone WHERE number = ?", (change.number,)).fetchone()[0]
    before = stored_rows(database)
    difference_from(redo).carry_out(database)
    back = difference(stored_rows(database), before).as_text()
    row = (change.number, change.at.isoformat(timespec="seconds"), change.what, back, "")
    database.execute("INSERT INTO change (number, at, what, undo, lasting) VALUES (?, ?, ?, ?, ?)", row)
    database.execute("DELETE FROM undone WHERE number = ?", (change.number,))
    return change


def stored_rows(database: sqlite3.Connection) -> Rows:
    """All rows of the tables that hold the record."""
    return {table.name: database.execute(table.select).fetchall() for table in TABLES}


def make_lasting(database: sqlite3.Connection, why: str) -> None:
    """Let go of every way back, and of the way forth again; the words stay."""
    if database.execute("SELECT 1 FROM sqlite_master WHERE name = 'undone'").fetchone():
        database.execute("DELETE FROM undone")
    database.execute("UPDATE change SET undo = NULL, lasting = ? WHERE lasting = ''", (why,))


def forget_earlier(database: sqlite3.Connection) -> None:
    """Let go of every change but the last, words and ways back."""
    database.execute("DELETE FROM change WHERE number < (SELECT max(number) FROM change)")
