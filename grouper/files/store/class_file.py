"""The class file: one SQLite file that holds a class record, every change of it one transaction that can be undone.

- Reading sees one state throughout; writing takes the lock first, so that two commands never lose each other's work.
- A change writes only the rows that differ, together with one line in the log of changes that holds the way back
  (see ``difference.py`` on why it is kept as rows).
- A process that is killed leaves the file as it was before the change or as it is after it: SQLite's rollback journal
  takes care of changes, and a new file gets its name only when it is complete.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from grouper.errors import InputError, InUseError
from grouper.files.store import schema
from grouper.files.store.begun import begin, begin_anew, with_begun
from grouper.files.store.connection import connected, new_database, pack, prepare, storable, transaction
from grouper.files.store.difference import difference
from grouper.files.store.forgetting import to_erase, without_person
from grouper.files.store.history import (
    ERASED,
    MADE,
    Change,
    changes,
    do_again,
    forget_earlier,
    log,
    stamp,
    stored_rows,
    take_back,
    undone,
    version_of,
)
from grouper.files.store.migrate import backups_of, check_and_renew, renew
from grouper.files.store.placing import place, sweep, unfinished
from grouper.files.store.records import record_of
from grouper.files.store.rows import Rows, rows_of
from grouper.model.held import with_what_has_begun
from grouper.model.record import ClassRecord

PATIENCE = 5.0
"""Seconds to wait for another command to finish before giving up."""

Check = Callable[[ClassRecord, ClassRecord], None]
"""Told a record before and after a step, raises an error where the step is not to be."""

PURGED = "it let go of what was there before"


@dataclass(frozen=True)
class Snapshot:
    """A record and the stamp of the state of the file that it was read at."""

    record: ClassRecord
    version: str


@dataclass
class Edit:
    """A change in the making: put the new record in the place of the one found; ``what`` may be worded anew too.

    ``version`` is the stamp of the state that was found.
    """

    record: ClassRecord
    what: str
    version: str = ""


class ClassFile:
    """A class file, there already or yet to be made.

    Nothing stays open between calls, so that one object may serve several threads.

    Parameters
    ----------
    path
        Where the file is or will be.
    wait
        Seconds to wait for another command before InUseError.
    """

    def __init__(self, path: Path | str, wait: float = PATIENCE) -> None:
        self.path = Path(path)
        self.wait = wait

    @property
    def exists(self) -> bool:
        """Whether anything stands at the path, class file or not."""
        return self.path.exists()

    @property
    def backups(self) -> tuple[Path, ...]:
        """Copies that were put beside the file before it was brought to a newer form; they hold what it held then."""
        return backups_of(self.path)

    def read(self) -> Snapshot:
        """The record as it stands.

        Raises
        ------
        InputError
            There is no such file, or it is a folder, empty, damaged, something else, or made by a newer grouper.
        InUseError
            Another command did not finish in time.
        """
        with self._open() as database, transaction(database, "DEFERRED"), self._sound():
            return Snapshot(self._read(database), version_of(database))

    @contextmanager
    def change(self, what: str) -> Iterator[Edit]:
        """Change the record with the file locked from before it is read until it is saved: for quick commands.

        Nothing is written if the block raises or leaves the record equal to what it was.

        Examples
        --------
        ::

            with file.change("absent: Kim") as edit:
                edit.record = repaired(edit.record)
        """
        with self._open() as database, transaction(database, "IMMEDIATE"):
            stored = self._rows(database)
            edit = Edit(with_begun(database, self._record(stored)), what, version_of(database))
            yield edit
            _save(database, stored, edit.record, edit.what)

    def save(self, record: ClassRecord, what: str, read_at: str) -> str:
        """Save a record that took long to make, without a lock meanwhile; the stamp of the new state is returned.

        Parameters
        ----------
        record, what
            The new record, and the change in words.
        read_at
            ``version`` of the snapshot that the record was made from.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``, or a round that the record has no more has begun
            since; nothing is written.
        """
        with self._open() as database, transaction(database, "IMMEDIATE"):
            with self._sound():
                self._check_unchanged(database, read_at)
            stands = self._read(database)
            _save(database, self._rows(database), with_what_has_begun(record, stands), what)
            return version_of(database)

    def create(self, record: ClassRecord, what: str) -> str:
        """Make the file, complete from the moment that it has its name; the stamp of its state is returned.

        This change cannot be undone: to take it back, delete the file.

        Raises
        ------
        InUseError
            Something stands at the path, made meanwhile by another command; it is left alone.
        InputError
            The path is a folder, or its folder does not exist or may not be written to.
        """
        if self.path.is_dir():
            raise InputError(f"{self.path} is a folder; give a name for the class file in it")
        if self.exists:
            raise self._made_meanwhile()
        sweep(self.path)
        try:
            with unfinished(self.path) as draft:
                with new_database(draft, self.path) as database:
                    version = _write_whole(database, record, what)
                place(draft, self.path)
                return version
        except FileExistsError:
            raise self._made_meanwhile() from None
        except OSError as error:
            raise InputError(f"{self.path} cannot be made: {error.strerror}; check its folder") from error

    def undo(self, read_at: str | None = None, check: Check | None = None) -> Change:
        """Take back the last change and tell which it was; again for the one before.

        With ``read_at``, the ``version`` of a snapshot, only where nobody has changed the file since. ``check`` is told
        the record as it is and as it would be, and raises an error where it is not to be.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``; nothing is taken back.
        InputError
            The last change cannot be undone (it made the file, or erased a student), or is no longer kept.
        """
        with self._open() as database, transaction(database, "IMMEDIATE"):
            return self._step(database, take_back, read_at, check)

    def redo(self, read_at: str | None = None, check: Check | None = None) -> Change:
        """Do again the change that was taken back last; again for the one after it. Otherwise like ``undo``.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``; nothing is done.
        InputError
            Nothing was taken back since the last change.
        """
        with self._open() as database, transaction(database, "IMMEDIATE"):
            return self._step(database, do_again, read_at, check)

    def _step(
        self,
        database: sqlite3.Connection,
        step: Callable[[sqlite3.Connection], Change],
        read_at: str | None,
        check: Check | None,
    ) -> Change:
        with self._sound():
            self._check_unchanged(database, read_at)
        before = self._read(database) if check else None
        with self._sound():
            change = step(database)
        if check and before:
            check(before, self._read(database))
        stamp(database)
        return change

    def to_redo(self) -> Change | None:
        """The change that ``redo`` would do again, or None."""
        with self._open() as database, transaction(database, "DEFERRED"), self._sound():
            return undone(database)

    def begin(self, lesson: int, place: int) -> None:
        """Keep that the rounds of a lesson up to this one have begun today; 0 for none after all.

        It is no change of the teacher's: it stands in no log, nothing takes it back, and the stamp of the file stays.

        Raises
        ------
        InUseError
            Another command did not finish in time.
        """
        with self._open() as database, transaction(database, "IMMEDIATE"):
            begin(database, lesson, place)

    def history(self) -> tuple[Change, ...]:
        """The last 100 changes, oldest first."""
        with self._open() as database, transaction(database, "DEFERRED"), self._sound():
            return changes(database)

    def forget(self, student: str, record: ClassRecord | None = None, read_at: str | None = None) -> None:
        """Erase a student, by id, from every byte of the file, in one change.

        Their id and name become 'student N', and ratings, size band, availability and requests go; the groups that
        they were in stay. The whole log of changes goes too, as any of its lines may hold them, and nothing from
        before can be undone. Copies of the file, ``backups`` among them, are not touched.

        Parameters
        ----------
        student
            The id.
        record, read_at
            A record to put in the place of the one there, with the student out of the class, and ``version`` of the
            snapshot that it was made from; the one that is there where none is given.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``; nothing is written.
        InputError
            There is no such student, they have been erased already, or they are still in the class.
        """

        def erased(found: ClassRecord) -> ClassRecord:
            return without_person(record or found, to_erase(found.roster, student).id)

        self._let_go(erased, "a student was erased", ERASED, read_at)

    def purge(self, record: ClassRecord, read_at: str) -> None:
        """Put a record with less in it in the place of the one there, and let go of the rest in every byte of the file.

        The log of changes goes too, and nothing from before can be undone. Copies of the file, ``backups`` among them,
        are not touched.

        Parameters
        ----------
        record, read_at
            What is to stay, and ``version`` of the snapshot that it was made from.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``; nothing is written.
        """
        self._let_go(lambda _: record, "the unit was cleared away", PURGED, read_at)

    def _let_go(
        self, what_stays: Callable[[ClassRecord], ClassRecord], what: str, lasting: str, read_at: str | None
    ) -> None:
        """One change with no way back, after which nothing that it took away is left on any page of the file."""
        with self._open() as database:
            with transaction(database, "IMMEDIATE"):
                with self._sound():
                    self._check_unchanged(database, read_at)
                stored = self._rows(database)
                with storable():
                    stays = rows_of(what_stays(self._record(stored)), stored["student"])
                    difference(stored, stays).carry_out(database)
                log(database, what, way_back=None, lasting=lasting)
                forget_earlier(database)
                stamp(database)
            pack(database)
        sweep(self.path)

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        self._check_there()
        with connected(self.path, self.wait) as database:
            with self._sound():
                prepare(database)
                check_and_renew(database, self.path, schema.MIGRATIONS)
            yield database

    def _check_there(self) -> None:
        if self.path.is_dir():
            raise InputError(f"{self.path} is a folder; give the class file in it")
        if not self.path.exists():
            raise InputError(f"there is no class file {self.path}; grouper plan makes it")
        if self.path.stat().st_size == 0:
            raise InputError(f"{self.path} is empty; delete it, or use your last copy")

    def _check_unchanged(self, database: sqlite3.Connection, read_at: str | None) -> None:
        if read_at is not None and version_of(database) != read_at:
            raise InUseError(f"another command has changed {self.path} meanwhile; run this one again")

    def _made_meanwhile(self) -> InUseError:
        return InUseError(f"{self.path} came into being meanwhile; run this command again")

    @contextmanager
    def _sound(self) -> Iterator[None]:
        """Around what reads the file: rows that make no sense are a damaged file."""
        try:
            yield
        except (LookupError, TypeError, ValueError) as error:
            raise InputError(f"{self.path} is damaged; use your last copy of it [{error}]") from error

    def _rows(self, database: sqlite3.Connection) -> Rows:
        with self._sound():
            return stored_rows(database)

    def _read(self, database: sqlite3.Connection) -> ClassRecord:
        with self._sound():
            return with_begun(database, self._record(self._rows(database)))

    def _record(self, stored: Rows) -> ClassRecord:
        with self._sound():
            try:
                return record_of(stored)
            except InputError as error:
                raise ValueError(str(error)) from error


def _save(database: sqlite3.Connection, stored: Rows, record: ClassRecord, what: str) -> None:
    """Write what differs and one line in the log; nothing where nothing differs."""
    wanted = rows_of(record, stored["student"])
    forth = difference(stored, wanted)
    if forth:
        with storable():
            forth.carry_out(database)
            log(database, what, way_back=forth.turned)
            if any(part.table.name == "past_round" for part in forth.parts):
                begin_anew(database)
        stamp(database)


def _write_whole(database: sqlite3.Connection, record: ClassRecord, what: str) -> str:
    """All of a new file."""
    database.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
    renew(database, schema.MIGRATIONS)
    with transaction(database, "IMMEDIATE"), storable():
        difference(stored_rows(database), rows_of(record)).carry_out(database)
        log(database, what, way_back=None, lasting=MADE)
        return stamp(database)
