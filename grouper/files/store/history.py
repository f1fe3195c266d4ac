"""The log of changes: number, when, what in words, and the way back; and which rounds have begun, which is no change.

The way back is kept as rows, not as statements that triggers write: the difference is known anyway, so that a change
and its inverse come from one and the same value; rows keep every text and number exactly, where SQL's ``quote()`` cuts
a text at a NUL; and the file holds no code that runs when another program writes to it and that every migration would
have to make anew.

Rounds have begun as the students' screen showed them, on the day on which it did. On later days that holds only where
that day is the date of the lesson: else somebody has tried the screen, and the lesson is still to come.
"""

from __future__ import annotations

import json
import os
import sqlite3
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any

from grouper.errors import InputError
from grouper.files.store.connection import LONGEST_WAY_BACK, with_ways_back
from grouper.files.store.inspection import KEPT, check_come, read_rows
from grouper.files.store.parts import TABLES
from grouper.files.store.tables import Row, Rows, Table
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class TableDifference:
    """The rows that go and the rows that come in one table; of a row that goes the primary key is enough."""

    table: Table
    gone: tuple[Row, ...]
    come: tuple[Row, ...]

    @property
    def gone_keys(self) -> tuple[Row, ...]:
        """Primary keys of the rows that go."""
        width = len(self.table.key)
        return tuple(row[:width] for row in self.gone)


@dataclass(frozen=True)
class Difference:
    """Differences table by table; a table that stays as it is has none."""

    parts: tuple[TableDifference, ...]

    def __bool__(self) -> bool:
        return bool(self.parts)

    @property
    def inverse(self) -> Difference:
        """The way back."""
        return Difference(tuple(TableDifference(part.table, part.come, part.gone) for part in self.parts))

    def carry_out(self, database: sqlite3.Connection) -> None:
        """Delete and insert. Foreign keys are checked at the commit, so that the order of tables is free."""
        for part in self.parts:
            database.executemany(part.table.delete, part.gone_keys)
        for part in self.parts:
            database.executemany(part.table.insert, part.come)

    def as_text(self) -> str:
        """The difference as JSON, to be kept in the log of changes: primary keys of what goes, rows that come."""
        parts = [(part.table.name, part.gone_keys, part.come) for part in self.parts]
        return json.dumps(parts, ensure_ascii=False, separators=(",", ":"))


def difference(stored: Rows, wanted: Rows) -> Difference:
    """What turns the stored rows into those that are wanted."""
    parts = []
    for table in TABLES:
        before, after = stored[table.name], wanted[table.name]
        if before != after:
            old, new = set(before), set(after)
            gone = tuple(row for row in before if row not in new)
            come = tuple(row for row in after if row not in old)
            if gone or come:
                parts.append(TableDifference(table, gone, come))
    return Difference(tuple(parts))


def difference_from(text: str) -> Difference:
    """The difference that :meth:`Difference.as_text` wrote.

    Raises
    ------
    LookupError, TypeError, ValueError
        It is something else: a table that is not ours, rows that do not fit, no JSON, or JSON too deep.
    """
    tables = {table.name: table for table in TABLES}
    try:
        parts = tuple(_part(tables[name], gone, come) for name, gone, come in json.loads(text))
    except RecursionError as error:
        raise ValueError("a way back is nested too deep") from error
    return Difference(parts)


def _part(table: Table, gone: list[list[Any]], come: list[list[Any]]) -> TableDifference:
    part = TableDifference(table, tuple(map(tuple, gone)), tuple(map(tuple, come)))
    if any(len(key) != len(table.key) or not {int, str}.issuperset(map(type, key)) for key in part.gone):
        raise ValueError(f"a way back names a row of {table.name} that cannot be")
    check_come(table, part.come)
    return part


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
    # What was taken back led on from a state that is no more.
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
        why = "there is nothing to undo: the last change was '{what}', and {lasting}"
        raise InputError(why, what=last.what, lasting=last.lasting)
    with with_ways_back(database):
        undo = database.execute("SELECT undo FROM change WHERE number = ?", (last.number,)).fetchone()[0]
    before = read_rows(database)
    # The way forth is worked out here and not kept beside the way back: half as much to keep for each change.
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


def today() -> str:
    """The date as ``YYYY-MM-DD``."""
    return date.today().isoformat()


def begin(database: sqlite3.Connection, lesson: int, place: int) -> None:
    """Keep the last round of a lesson that has begun today, in the place of what was kept before; 0 for none."""
    database.execute("DELETE FROM begun WHERE lesson = ?", (lesson,))
    if place > 0:
        database.execute("INSERT INTO begun VALUES (?, ?, ?)", (lesson, place, today()))


def with_begun(database: sqlite3.Connection, record: ClassRecord) -> ClassRecord:
    """The record with the rounds that have begun; those of lessons that have been taught need no word."""
    dates = {lesson.number: lesson.date for lesson in record.unit.lessons if lesson.number not in record.taught}
    rows = database.execute("SELECT lesson, place, date FROM begun ORDER BY lesson").fetchall()
    if any(type(place) is not int or place < 1 for _, place, _ in rows):
        raise ValueError("begun holds a 'place' of another kind")
    begun = {lesson: place for lesson, place, on in rows if lesson in dates and on in (today(), dates[lesson])}
    return replace(record, begun=begun) if begun else record
