"""The log of changes: number, when, what in words, and the way back."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from datetime import UTC, datetime

from grouper.errors import InputError
from grouper.files.store.connection import LONGEST_WAY_BACK, with_ways_back
from grouper.files.store.difference import Difference, difference, difference_from
from grouper.files.store.inspection import KEPT, read_rows

MADE = "it made the class file"
ERASED = "it erased a student, and everything from before that could hold them"
RENEWED = "the file has been brought to a newer form since"
TOO_LONG = "so much changed that the way back was not kept"

_TO_PACK = "+"
"""Ends the stamp of a file that let go of something and has not been written anew since."""


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
    return _stamp_of(database).removesuffix(_TO_PACK)


def is_to_pack(database: sqlite3.Connection) -> bool:
    """Whether the file let go of something and has not been written anew since."""
    return _stamp_of(database).endswith(_TO_PACK)


def _stamp_of(database: sqlite3.Connection) -> str:
    (found,) = database.execute("SELECT version FROM stamp").fetchone()
    if type(found) is not str or not 1 <= len(found) <= 64:
        raise ValueError("its stamp is not one of ours")
    return found


def stamp(database: sqlite3.Connection, to_pack: bool = False) -> str:
    """Mark a new state with a stamp that no other state of any class file has; one to be packed stays so until it is.

    It is drawn at random rather than counted: after an undo or a copy brought back the same count would come again for
    another state.
    """
    version = os.urandom(8).hex()
    kept = database.execute("SELECT version FROM stamp").fetchone()
    mark = _TO_PACK if to_pack or (kept and str(kept[0]).endswith(_TO_PACK)) else ""
    database.execute("INSERT OR REPLACE INTO stamp VALUES (1, ?)", (version + mark,))
    return version


def mark_packed(database: sqlite3.Connection) -> None:
    """Say that the file has been written anew; its state is the same."""
    database.execute("UPDATE stamp SET version = rtrim(version, ?)", (_TO_PACK,))


def log(database: sqlite3.Connection, what: str, way_back: Difference | None, lasting: str = "") -> None:
    """Add a change, and let go of those beyond the last KEPT, and of what had been taken back before."""
    database.execute("DELETE FROM undone")
    at = datetime.now(UTC).isoformat(timespec="seconds")
    undo = None if way_back is None else way_back.as_text()
    if undo is not None and len(undo.encode()) > LONGEST_WAY_BACK:
        undo, lasting = None, TOO_LONG
    with with_ways_back(database):
        added = database.execute(
            "INSERT INTO change (at, what, undo, lasting) VALUES (?, ?, ?, ?)", (at, what, undo, lasting)
        )
    database.execute("DELETE FROM change WHERE number <= ?", ((added.lastrowid or 0) - KEPT,))


def changes(database: sqlite3.Connection) -> tuple[Change, ...]:
    """The changes that are kept, oldest first."""
    with with_ways_back(database):
        rows = database.execute("SELECT number, at, what, lasting FROM change ORDER BY number").fetchall()
    return tuple(_change(*row) for row in rows)


def last_change(database: sqlite3.Connection) -> Change | None:
    """The change that is the last in the log, or None."""
    with with_ways_back(database):
        row = database.execute("SELECT number, at, what, lasting FROM change ORDER BY number DESC LIMIT 1").fetchone()
    return _change(*row) if row else None


def _change(number: int, at: str, what: str, lasting: str) -> Change:
    if {type(at), type(what), type(lasting)} != {str} or (moment := datetime.fromisoformat(at)).tzinfo is None:
        raise ValueError("its list of changes is not as grouper writes it")
    return Change(number, moment, what, lasting)


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
    with with_ways_back(database):
        undo = database.execute("SELECT undo FROM change WHERE number = ?", (last.number,)).fetchone()[0]
    before = read_rows(database)
    difference_from(undo).carry_out(database)
    forth = difference(read_rows(database), before).as_text()
    at = last.at.isoformat(timespec="seconds")
    if len(forth.encode()) <= LONGEST_WAY_BACK:
        with with_ways_back(database):
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
    with with_ways_back(database):
        redo = database.execute("SELECT redo FROM undone WHERE number = ?", (change.number,)).fetchone()[0]
    before = read_rows(database)
    difference_from(redo).carry_out(database)
    back = difference(read_rows(database), before).as_text()
    row = (change.number, change.at.isoformat(timespec="seconds"), change.what, back, "")
    with with_ways_back(database):
        database.execute("INSERT INTO change (number, at, what, undo, lasting) VALUES (?, ?, ?, ?, ?)", row)
    database.execute("DELETE FROM undone WHERE number = ?", (change.number,))
    return change


def make_lasting(database: sqlite3.Connection, why: str) -> None:
    """Let go of every way back, and of the way forth again; the words stay."""
    if database.execute("SELECT 1 FROM sqlite_master WHERE name = 'undone'").fetchone():
        database.execute("DELETE FROM undone")
    with with_ways_back(database):
        database.execute("UPDATE change SET undo = NULL, lasting = ? WHERE lasting = ''", (why,))


def forget_earlier(database: sqlite3.Connection) -> None:
    """Let go of every change but the last, words and ways back."""
    database.execute("DELETE FROM change WHERE number < (SELECT max(number) FROM change)")
