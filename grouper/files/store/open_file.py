"""A class file while it is open: its rows and its record as they stand, and what a change does to them.

Rows that make no sense are a damaged file, whoever reads them: ``sound`` stands around all that does.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from grouper.errors import InputError, InUseError
from grouper.files.store import schema
from grouper.files.store.connection import reason, storable, transaction
from grouper.files.store.history import (
    MADE,
    Change,
    difference,
    last_change,
    log,
    stamp,
    undone,
    version_of,
    with_begun,
)
from grouper.files.store.inspection import check_rows, empty_file, read_rows
from grouper.files.store.parts import record_of, rows_of
from grouper.files.store.tables import Rows
from grouper.model.record import ClassRecord
from grouper.words import Remedy

Check = Callable[[ClassRecord, ClassRecord], None]
"""Told a record before and after a step, raises an error where the step is not to be."""


@dataclass(frozen=True)
class Snapshot:
    """A record, the stamp of the state of the file that it was read at, and the steps that lead back and forth.

    ``last`` is the change that ``undo`` would take back, ``undone`` the one that ``redo`` would do again, if any.
    """

    record: ClassRecord
    version: str
    last: Change | None = None
    undone: Change | None = None


@dataclass(frozen=True)
class OpenFile:
    """The file at ``path``, through its connection; what is asked of it holds within one transaction."""

    database: sqlite3.Connection
    path: Path

    @contextmanager
    def sound(self) -> Iterator[None]:
        """Around what reads the file: rows that make no sense are a damaged file."""
        try:
            yield
        except (LookupError, TypeError, ValueError, ArithmeticError) as error:
            raise InputError(
                "{path} is damaged ({reason})", Remedy.RESTORE_COPY, path=self.path, reason=reason(error)
            ) from error

    @property
    def version(self) -> str:
        """The stamp of the state that the file is in."""
        return version_of(self.database)

    def check_unchanged(self, read_at: str | None) -> None:
        """Raise InUseError where the file is in another state than when it was read; None for whenever that was."""
        with self.sound():
            if read_at is not None and self.version != read_at:
                raise InUseError("another command has changed {path} meanwhile", "run this one again", path=self.path)

    def rows(self) -> Rows:
        """All rows of the record."""
        with self.sound():
            return read_rows(self.database)

    def record(self, stored: Rows | None = None) -> ClassRecord:
        """The record that the rows hold (those of now where none are given), with the rounds that have begun."""
        with self.sound():
            return with_begun(self.database, self._recorded(self.rows() if stored is None else stored))

    def _recorded(self, stored: Rows) -> ClassRecord:
        with self.sound():
            try:
                return record_of(stored)
            except InputError as error:
                # What the record refuses cannot have been written by us: it is damage and no wrong input.
                raise ValueError(str(error)) from error

    def snapshot(self, record: ClassRecord) -> Snapshot:
        """This record, which is the file's, with its stamp and the steps that lead back and forth."""
        return Snapshot(record, self.version, last_change(self.database), undone(self.database))

    def save(self, stored: Rows, record: ClassRecord, what: str) -> bool:
        """Write what differs from the stored rows, and one line in the log; whether anything does."""
        forth = difference(stored, _wanted(record, stored))
        if forth:
            with storable():
                forth.carry_out(self.database)
                log(self.database, what, way_back=forth.inverse)
                # A new unit counts its lessons from 1 again; what has begun was a lesson of the one before.
                if any(part.table.name == "past_round" for part in forth.parts):
                    self.database.execute("DELETE FROM begun")
            stamp(self.database)
        return bool(forth)

    def step(self, step: Callable[[sqlite3.Connection], Change], read_at: str | None, check: Check | None) -> Change:
        """Take a change back, or do it again, where ``check`` has nothing against it."""
        self.check_unchanged(read_at)
        before = self.record()
        with self.sound():
            change = step(self.database)
        after = self.record()
        if check:
            check(before, after)
        stamp(self.database)
        return change

    def let_go(self, what_stays: Callable[[ClassRecord], ClassRecord], what: str, lasting: str) -> None:
        """A change with no way back, and none from before either; the file is to be written anew after it."""
        stored = self.rows()
        with storable():
            difference(stored, _wanted(what_stays(self._recorded(stored)), stored)).carry_out(self.database)
        log(self.database, what, way_back=None, lasting=lasting)
        # Words and ways back of every change but this one.
        self.database.execute("DELETE FROM change WHERE number < (SELECT max(number) FROM change)")
        stamp(self.database, to_pack=True)


def _wanted(record: ClassRecord, stored: Rows) -> Rows:
    """The rows that hold a record, which can be read again."""
    wanted = rows_of(record, stored["student"])
    check_rows(wanted)
    return wanted


def write_whole_class(database: sqlite3.Connection, record: ClassRecord, what: str) -> str:
    """All of a new file; the stamp of its state."""
    # A copy: to go through all migrations once more would take longer than all the rest.
    with closing(sqlite3.connect(":memory:")) as empty:
        empty.deserialize(empty_file(schema.MIGRATIONS))
        empty.backup(database)
    with transaction(database, "IMMEDIATE"), storable():
        stored = read_rows(database)
        difference(stored, _wanted(record, stored)).carry_out(database)
        log(database, what, way_back=None, lasting=MADE)
        return stamp(database)
