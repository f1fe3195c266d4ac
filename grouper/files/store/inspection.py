"""What is looked at before a class file is used, as it may come from somebody else, or from a failing disk.

SQL that stands in a file runs when the file is read: a view or a trigger can work for ever, take all memory, or write
where nobody looks, and a table that is not ours outlives every erasing. So nothing of a file is read before its tables
are found to be, word for word, those that the migrations make; and what is read is bounded in number, length and kind
while it is read. What is written passes the same check, so that nothing is ever saved that could not be read again.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from grouper.errors import InputError
from grouper.files.store import schema
from grouper.files.store.connection import trust_tables
from grouper.files.store.parts import TABLES
from grouper.files.store.schema import APPLICATION_ID, Migration
from grouper.files.store.tables import Row, Rows, Table
from grouper.model.texts import MOST_ROUNDS_OF_UNIT
from grouper.words import Remedy

KEPT = 100
"""How many changes are kept in the log."""

MOST_ROWS = 500_000
"""Rows in all tables: a thousand students in forty rounds of two layers and three earlier units have half of that."""

MOST_LETTERS = 30_000_000
"""Letters in all texts of the tables."""

MOST_STUDENTS = 5000
"""Those who have left among them; a roster has a fifth of these at most."""

MOST_NUMBER = 10**9
"""The largest whole number that anything is counted or named by."""

_BLOCK = 50
"""Rows that are fetched before their length is looked at."""

_WITH_UNDONE = 4
"""The first form in which changes that were taken back are kept too."""

_ACTIVITY = next(table for table in TABLES if table.name == "activity")

_NOT_OURS = "has tables, views or triggers that are not grouper's, and is not opened"

Layout = tuple[tuple[str, str, str, str], ...]
"""What stands in ``sqlite_master``: kind, name, name of the table, SQL with single spaces; in order."""


@dataclass(frozen=True)
class _Form:
    """What a file has after some migrations: its layout, and the kinds of value that each column may hold."""

    layout: Layout
    kinds: dict[tuple[str, str], frozenset[type]]

    def columns(self, table: Table) -> tuple[tuple[str, frozenset[type]], ...]:
        """The columns of a table in our order, each with its kinds."""
        return tuple((column, self.kinds[table.name, column]) for column in table.columns)


@cache
def empty_file(migrations: Sequence[Migration]) -> bytes:
    """A class file after some migrations with nobody in it; made once, in memory, in eight milliseconds."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as made:
        made.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        for migration in migrations:
            for statement in migration.statements:
                made.execute(statement)
        made.execute(f"PRAGMA user_version = {len(migrations)}")
        return made.serialize()


@cache
def _form(migrations: Sequence[Migration]) -> _Form:
    of_sql: dict[str, type] = {"INTEGER": int, "REAL": float, "TEXT": str}
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as made:
        made.deserialize(empty_file(migrations))
        columns = made.execute(
            'SELECT t.name, c.name, c.type, c."notnull" OR c.pk FROM sqlite_master t, pragma_table_info(t.name) c '
            "WHERE t.type = 'table'"
        )
        kinds = {
            (table, column): frozenset((of_sql[kind],) if needed else (of_sql[kind], type(None)))
            for table, column, kind, needed in columns
        }
        return _Form(_layout(made), kinds)


def _layout(database: sqlite3.Connection) -> Layout:
    rows = database.execute("SELECT type, name, tbl_name, sql FROM sqlite_master")
    return tuple(sorted((kind, name, table, _in_single_spaces(sql or "")) for kind, name, table, sql in rows))


@lru_cache(maxsize=200)
def _in_single_spaces(sql: str) -> str:
    return " ".join(sql.split())


def inspected_form(database: sqlite3.Connection, path: Path, migrations: Sequence[Migration]) -> int:
    """The number of the last migration that a file has had, which was prepared and of which nothing was used so far.

    Raises
    ------
    InputError
        It is no class file, was made by a newer grouper, or holds tables, views or triggers that are not ours.
    """
    if _pragma(database, "application_id") != APPLICATION_ID:
        raise InputError("{path} is not a class file", Remedy.GIVE_CLASS_FILE, path=path)
    form: int = _pragma(database, "user_version")
    if form > len(migrations):
        raise InputError(
            "{path} was made by a newer grouper (form {form})", "bring this grouper up to date", path=path, form=form
        )
    # In another mode the newest of it lies in a second file, which no copy of this one has.
    if _pragma(database, "journal_mode") != "delete" or _pragma(database, "encoding") != "UTF-8":
        raise InputError("{path} was rewritten by another program in its own way", "use a copy from before", path=path)
    if form < 1 or _layout(database) != _form(migrations[:form]).layout or not _roots_differ(database):
        raise InputError(
            "{path} {not_ours}", "ask whoever sent it for one that grouper made", path=path, not_ours=_NOT_OURS
        )
    trust_tables(database)
    for log in ("change", "undone"):
        if (log == "change" or form >= _WITH_UNDONE) and not _is_short(database, log):
            raise InputError(
                "{path} is damaged (its list of changes is longer than any)", Remedy.RESTORE_COPY, path=path
            )
    return form


def _is_short(database: sqlite3.Connection, log: str) -> bool:
    numbers = database.execute(f"SELECT number FROM {log} LIMIT ?", (KEPT + 1,)).fetchall()
    return len(numbers) <= KEPT and all(number <= MOST_NUMBER for (number,) in numbers)


def _pragma(database: sqlite3.Connection, name: str) -> Any:
    return database.execute(f"PRAGMA {name}").fetchone()[0]


def _roots_differ(database: sqlite3.Connection) -> bool:
    """Whether every table begins on a page of its own."""
    # On one page, what is written to the one table would change the other.
    roots = [root for (root,) in database.execute("SELECT rootpage FROM sqlite_master")]
    return len(set(roots)) == len(roots) and min(roots) > 1


def read_rows(database: sqlite3.Connection) -> Rows:
    """All rows of the record, each value of the kind that its column holds.

    Raises
    ------
    ValueError
        There are more or longer ones than any class has, or one is of another kind.
    """
    watch = _Watch()
    rows: Rows = {}
    for table in TABLES:
        found = rows[table.name] = []
        cursor = database.execute(table.select)
        # Fetched whole, a hostile file would fill the memory before anything was counted.
        while block := cursor.fetchmany(_BLOCK):
            watch.look_at(table, block)
            found += block
    return rows


def check_rows(rows: Rows) -> None:
    """Raise InputError where these rows, once written, could not be read again."""
    watch = _Watch()
    try:
        for table in TABLES:
            watch.look_at(table, rows[table.name])
    except ValueError as error:
        raise InputError(
            "a class file cannot hold this record: {reason} (nothing was changed)", reason=error
        ) from error


def check_come(table: Table, rows: Sequence[Row]) -> None:
    """Raise ValueError where rows of a table are not as wide as it, or a value is of a kind that it does not hold."""
    if any(len(row) != len(table.columns) for row in rows):
        raise ValueError(f"a row of {table.name} is too short or too long")
    _Watch().look_at(table, rows)


class _Watch:
    """Counts what goes by."""

    def __init__(self) -> None:
        self.form = _form(schema.MIGRATIONS)
        self.left = {"student": MOST_STUDENTS}
        self.rows = self.letters = self.rounds = 0

    def look_at(self, table: Table, rows: Sequence[Row]) -> None:
        """Raise ValueError where there are too many by now, or a value is not of its kind."""
        if not rows:
            return
        self.rows += len(rows)
        left = self.left[table.name] = self.left.get(table.name, MOST_ROWS) - len(rows)
        if self.rows > MOST_ROWS or left < 0:
            raise ValueError(f"there are more rows of {table.name} than any class has")
        for (name, kinds), values in zip(self.form.columns(table), zip(*rows, strict=True), strict=True):
            # SQLite keeps any kind of value in any column; a text where a number belongs is refused here and not later.
            if not kinds.issuperset(map(type, values)):
                raise ValueError(f"{table.name} holds a '{name}' of another kind")
            if str in kinds:
                self._measure(values)
            elif int in kinds:
                numbers = values if len(kinds) == 1 else [n for n in values if n is not None]
                if numbers and not -MOST_NUMBER <= min(numbers) <= max(numbers) <= MOST_NUMBER:
                    raise ValueError(f"{table.name} holds a '{name}' beyond {MOST_NUMBER}")
        if table.name == "activity":
            place = _ACTIVITY.columns.index("rounds")
            self.rounds += sum(row[place] for row in rows)
            if self.rounds > MOST_ROUNDS_OF_UNIT:
                raise ValueError(f"the unit has more than {MOST_ROUNDS_OF_UNIT} rounds")

    def _measure(self, texts: Iterable[str | None]) -> None:
        self.letters += sum(map(len, filter(None, texts)))
        if self.letters > MOST_LETTERS:
            raise ValueError("there is more text than any class has")
