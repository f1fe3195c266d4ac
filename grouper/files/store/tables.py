"""What a table of the class file is, and how one is declared for a part of the record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

Row = tuple[Any, ...]
Rows = dict[str, list[Row]]
"""Table name to its rows, each with the columns of the table in order."""

PLACE = "place"
"""The column for the place of one thing among others, from 1, where nothing else tells them apart."""


@dataclass(frozen=True)
class Table:
    """A table that holds a part of the record: its name, the columns of its primary key, and its other columns."""

    name: str
    key: tuple[str, ...]
    others: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """All columns, those of the primary key first."""
        return self.key + self.others

    @cached_property
    def select(self) -> str:
        """The statement that reads all rows in the order of the primary key."""
        return f'SELECT {_listed(self.columns)} FROM "{self.name}" ORDER BY {_listed(self.key)}'

    @cached_property
    def insert(self) -> str:
        """The statement that adds one row."""
        marks = ", ".join("?" for _ in self.columns)
        return f'INSERT INTO "{self.name}" ({_listed(self.columns)}) VALUES ({marks})'

    @cached_property
    def delete(self) -> str:
        """The statement that removes the row with a primary key."""
        return f'DELETE FROM "{self.name}" WHERE ' + " AND ".join(f'"{column}" = ?' for column in self.key)


def _listed(columns: Iterable[str]) -> str:
    # Some columns are called by words of SQL, so that all names are quoted.
    return ", ".join(f'"{column}"' for column in columns)


@dataclass(frozen=True)
class KeptAs:
    """Another dataclass in which something is kept, where its own does not say it in columns: there and back."""

    form: type
    apart: Callable[[Any], Any]
    together: Callable[[Any], Any]


@dataclass(frozen=True)
class Part:
    """A table, and where in the record its rows come from.

    Parameters
    ----------
    table
        Its name.
    at
        The field that holds them, seen from the thing that they are part of; ``roster.students`` is a field in a field.
    key
        What tells those apart that belong to one thing: fields, or the one column that holds their place.
    parts
        Tables of what they hold several of.
    columns
        Where they are no dataclasses but values: what each of these is called (those in ``key`` come first).
    beside
        Another field, with as many values as ``at`` or none: a second column, NULL where it has none.
    placed
        Whether a column ``place`` keeps the order, as the key does not.
    layer
        A word that tells them apart from those of another field that stand in the same table.
    filled
        Whether there is always one at least.
    names
        Fields that have a column of another name.
    known_as
        What a column is called that says which of them another table's row belongs to; the table, if not given.
    number_of
        The field, an id, for which the key is the internal number.
    kept
        The form in which they are kept.
    """

    table: str
    at: str
    key: tuple[str, ...] = (PLACE,)
    parts: tuple[Part, ...] = ()
    columns: tuple[str, ...] = ()
    beside: str = ""
    placed: bool = False
    layer: str = ""
    filled: bool = False
    names: Mapping[str, str] = field(default_factory=dict)
    known_as: str = ""
    number_of: str = ""
    kept: KeptAs | None = None
