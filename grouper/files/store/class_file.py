"""The class file: one SQLite file that holds a class record, every change of it one transaction that can be undone.

- Reading sees one state throughout; writing takes the lock first, so that two commands never lose each other's work.
- A change writes only the rows that differ, together with one line in the log of changes that holds the way back
  (see ``difference.py`` on why it is kept as rows).
- A process that is killed leaves the file as it was before the change or as it is after it: SQLite's rollback journal
  takes care of changes, and a new file gets its name only when it is complete.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from grouper.errors import InputError, InUseError
from grouper.files.atomic import FOLDER, kind_at, unfinished
from grouper.files.store import schema
from grouper.files.store.connection import connected, new_database, prepare, reason, storable, transaction
from grouper.files.store.history import (
    ERASED,
    MADE,
    Change,
    begin,
    begin_anew,
    changes,
    difference,
    do_again,
    forget_earlier,
    last_change,
    log,
    stamp,
    take_back,
    undone,
    version_of,
    with_begun,
)
from grouper.files.store.inspection import check_rows, read_rows
from grouper.files.store.migrate import check_and_renew, renew
from grouper.files.store.parts import record_of, rows_of
from grouper.files.store.placing import (
    check_finished,
    check_place,
    copies_of,
    finish,
    journal_of,
    place,
    sweep,
    write_anew,
)
from grouper.files.store.tables import Rows
from grouper.model.held import with_what_has_begun
from grouper.model.record import ClassRecord
from grouper.privacy.erase import to_erase, without_person
from grouper.words import Remedy

PATIENCE = 5.0
"""Seconds to wait for another command to finish before giving up."""

Tell = Callable[[Path, str], None]
"""Hears of a file what the teacher should know, in a sentence without its end."""

Check = Callable[[ClassRecord, ClassRecord], None]
"""Told a record before and after a step, raises an error where the step is not to be."""

PURGED = "it let go of what was there before"


@dataclass(frozen=True)
class Snapshot:
    """A record, the stamp of the state of the file that it was read at, and the steps that lead back and forth.

    ``last`` is the change that ``undo`` would take back, ``undone`` the one that ``redo`` would do again, if any.
    """

    record: ClassRecord
    version: str
    last: Change | None = None
    undone: Change | None = None


@dataclass
class Edit:
    """A change in the making: put the new record in the place of the one found; ``what`` may be worded anew too.

    ``version`` is the stamp of the state that was found; ``after`` is what the file holds once the change is made, as
    ``read`` would give it without opening the file again, None where nothing was written.
    """

    record: ClassRecord
    what: str
    version: str = ""
    after: Snapshot | None = None


class ClassFile:
    """A class file, there already or yet to be made.

    Nothing stays open between calls, so that one object may serve several threads.

    Parameters
    ----------
    path
        Where the file is or will be.
    wait
        Seconds to wait for another command before InUseError.
    tell
        Hears of what the teacher should know, such as what a newer form of the file could not take; ``ClassFile.tell``
        if not given.
    """

    tell: ClassVar[Tell] = staticmethod(lambda _path, _what: None)
    """What hears of what the teacher should know and nobody asked for, once; each face sets its own."""

    def __init__(self, path: Path | str, wait: float = PATIENCE, tell: Tell | None = None) -> None:
        self.path = Path(path)
        self.wait = wait
        self._tell = tell or ClassFile.tell

    @property
    def exists(self) -> bool:
        """Whether anything stands at the path, class file or not."""
        return os.path.lexists(self.path)

    @property
    def backups(self) -> tuple[Path, ...]:
        """Copies beside the file, made before it was brought to a newer form or put aside; they hold what it held."""
        return copies_of(self.path)

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
            return _snapshot(database, self._read(database))

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
            if _save(database, stored, edit.record, edit.what):
                edit.after = _snapshot(database, with_begun(database, edit.record))

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
        if kind_at(self.path) == FOLDER:
            raise InputError("{path} is a folder", "give a name for the class file in it", path=self.path)
        if self.exists:
            raise self._made_meanwhile()
        journal = journal_of(self.path)
        if os.path.lexists(journal):
            raise InputError(
                "{journal} belongs to a class file that is not here", "move it to where that file is", journal=journal
            )
        sweep(self.path)
        try:
            with unfinished(self.path) as draft:
                with new_database(draft, self.path) as database:
                    version = _write_whole(database, record, what)
                place(draft, self.path)
                return version
        except FileExistsError:
            raise self._made_meanwhile() from None
        except (OSError, ValueError) as error:
            if self.exists:
                raise self._made_meanwhile() from None
            why = getattr(error, "strerror", None) or error
            raise InputError(
                "{path} cannot be opened ({why})", "check that you may write in its folder", path=self.path, why=why
            ) from error

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
        before = self._read(database)
        with self._sound():
            change = step(database)
        after = self._read(database)
        if check:
            check(before, after)
        stamp(database)
        return change

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

    def forget(self, student: str, record: ClassRecord | None = None, read_at: str | None = None) -> str:
        """Erase a student, by id, from every byte of the file, in one change; what is left to do, as for ``purge``.

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

        return self._let_go(erased, "a student was erased", ERASED, read_at)

    def purge(self, record: ClassRecord, read_at: str) -> str:
        """Put a record with less in it in the place of the one there, and let go of the rest in every byte of the file.

        The log of changes goes too, and nothing from before can be undone. Copies of the file, ``backups`` among them,
        are not touched.

        Parameters
        ----------
        record, read_at
            What is to stay, and ``version`` of the snapshot that it was made from.

        Returns
        -------
        str
            What is left to do, where there was no room on the disk to write the file anew: any next command does it.
            Empty where nothing is left.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``; nothing is written.
        """
        return self._let_go(lambda _: record, "the unit was cleared away", PURGED, read_at)

    def _let_go(
        self, what_stays: Callable[[ClassRecord], ClassRecord], what: str, lasting: str, read_at: str | None
    ) -> str:
        """One change with no way back, after which nothing that it took away is left on any page of the file."""
        with self._open() as database:
            check_finished(database, self.path)
            with transaction(database, "IMMEDIATE"):
                with self._sound():
                    self._check_unchanged(database, read_at)
                stored = self._rows(database)
                with storable():
                    stays = _wanted(what_stays(self._record(stored)), stored)
                    difference(stored, stays).carry_out(database)
                log(database, what, way_back=None, lasting=lasting)
                forget_earlier(database)
                stamp(database, to_pack=True)
            left = write_anew(database, self.path)
        sweep(self.path)
        return left

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        check_place(self.path)
        with connected(self.path, self.wait) as database:
            with self._sound():
                prepare(database)
                lost = check_and_renew(database, self.path, schema.MIGRATIONS)
                aside = finish(database, self.path)
            for what in filter(None, (lost, aside)):
                self._tell(self.path, what)
            yield database

    def _check_unchanged(self, database: sqlite3.Connection, read_at: str | None) -> None:
        if read_at is not None and version_of(database) != read_at:
            raise InUseError("another command has changed {path} meanwhile", "run this one again", path=self.path)

    def _made_meanwhile(self) -> InUseError:
        return InUseError("{path} came into being meanwhile", "run this command again", path=self.path)

    @contextmanager
    def _sound(self) -> Iterator[None]:
        """Around what reads the file: rows that make no sense are a damaged file."""
        try:
            yield
        except (LookupError, TypeError, ValueError, ArithmeticError) as error:
            raise InputError(
                "{path} is damaged ({reason})", Remedy.RESTORE_COPY, path=self.path, reason=reason(error)
            ) from error

    def _rows(self, database: sqlite3.Connection) -> Rows:
        with self._sound():
            return read_rows(database)

    def _read(self, database: sqlite3.Connection) -> ClassRecord:
        with self._sound():
            return with_begun(database, self._record(self._rows(database)))

    def _record(self, stored: Rows) -> ClassRecord:
        with self._sound():
            try:
                return record_of(stored)
            except InputError as error:
                raise ValueError(str(error)) from error


def _wanted(record: ClassRecord, stored: Rows) -> Rows:
    """The rows that hold a record, which can be read again."""
    wanted = rows_of(record, stored["student"])
    check_rows(wanted)
    return wanted


def _snapshot(database: sqlite3.Connection, record: ClassRecord) -> Snapshot:
    return Snapshot(record, version_of(database), last_change(database), undone(database))


def _save(database: sqlite3.Connection, stored: Rows, record: ClassRecord, what: str) -> bool:
    """Write what differs and one line in the log; whether anything does."""
    forth = difference(stored, _wanted(record, stored))
    if forth:
        with storable():
            forth.carry_out(database)
            log(database, what, way_back=forth.turned)
            if any(part.table.name == "past_round" for part in forth.parts):
                begin_anew(database)
        stamp(database)
    return bool(forth)


def bytes_of_new(record: ClassRecord, what: str) -> bytes:
    """A new class file as bytes, to be taken elsewhere: it is made in memory, and stands on no disk here."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as database:
        _write_whole(database, record, what)
        return database.serialize()


def _write_whole(database: sqlite3.Connection, record: ClassRecord, what: str) -> str:
    """All of a new file."""
    database.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
    renew(database, schema.MIGRATIONS)
    with transaction(database, "IMMEDIATE"), storable():
        stored = read_rows(database)
        difference(stored, _wanted(record, stored)).carry_out(database)
        log(database, what, way_back=None, lasting=MADE)
        return stamp(database)
