"""What has to be deleted and inserted to turn some rows into others, and back again.

The way back is kept as rows, not as statements that triggers write: the difference is known anyway, so that a change
and its inverse come from one and the same value; rows keep every text and number exactly, where SQL's ``quote()`` cuts
a text at a NUL; and the file holds no code that runs when another program writes to it and that every migration would
have to make anew.
"""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

from grouper.files.store.codec import Row, Rows, Table
from grouper.files.store.inspection import check_come
from grouper.files.store.parts import TABLES


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
    def turned(self) -> Difference:
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
        return json.dumps(
            [(part.table.name, part.gone_keys, part.come) for part in self.parts],
            ensure_ascii=False,
            separators=(",", ":"),
        )


def difference(stored: Rows, wanted: Rows) -> Difference:
    """What turns the stored rows into those that are wanted."""
    parts = (_table_difference(table, stored[table.name], wanted[table.name]) for table in TABLES)
    return Difference(tuple(part for part in parts if part.gone or part.come))


def _table_difference(table: Table, stored: list[Row], wanted: list[Row]) -> TableDifference:
    if stored == wanted:
        return TableDifference(table, (), ())
    old, new = set(stored), set(wanted)
    return TableDifference(
        table,
        gone=tuple(row for row in stored if row not in new),
        come=tuple(row for row in wanted if row not in old),
    )


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
