"""The class file: one SQLite file that holds a class record, every change of it one transaction that can be undone.

- Reading sees one state throughout; writing takes the lock first, so that two commands never lose each other's work.
- A change writes only the rows that differ, together with one line in the log of changes that holds the way back
  (see ``history.py`` on why it is kept as rows).
- A process that is killed leaves the file as it was before the change or as it is after it: SQLite's rollback journal
  takes care of changes, and a new file gets its name only when it is complete.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from grouper.errors import InputError, InUseError
from grouper.files.atomic import FOLDER, kind_at, unfinished
from grouper.files.store import schema
from grouper.files.store.connection import connected, new_database, prepare, transaction
from grouper.files.store.history import (
    ERASED,
    Change,
    begin,
    changes,
    do_again,
    take_back,
    with_begun,
)
from grouper.files.store.migrate import check_and_renew
from grouper.files.store.open_file import Check, OpenFile, Snapshot, write_whole_class
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
from grouper.model.held import with_what_has_begun
from grouper.model.record import ClassRecord
from grouper.privacy.erase import to_erase, without_person

PATIENCE = 5.0
"""Seconds to wait for another command to finish before giving up."""

Tell = Callable[[Path, str], None]
"""Hears of a file what the teacher should know, in a sentence without its end."""

PURGED = "it let go of what was there before"


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
        with self._open("DEFERRED") as file, file.sound():
            return file.snapshot(file.record())

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
        with self._open("IMMEDIATE") as file:
            stored = file.rows()
            edit = Edit(file.record(stored), what, file.version)
            yield edit
            if file.save(stored, edit.record, edit.what):
                edit.after = file.snapshot(with_begun(file.database, edit.record))

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
        with self._open("IMMEDIATE") as file:
            file.check_unchanged(read_at)
            stored = file.rows()
            file.save(stored, with_what_has_begun(record, file.record(stored)), what)
            return file.version

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
        # SQLite would take it for the journal of the new file, and play old pages into that.
        journal = journal_of(self.path)
        if os.path.lexists(journal):
            raise InputError(
                "{journal} belongs to a class file that is not here", "move it to where that file is", journal=journal
            )
        sweep(self.path)
        try:
            with unfinished(self.path) as draft:
                with new_database(draft, self.path) as database:
                    version = write_whole_class(database, record, what)
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
        with self._open("IMMEDIATE") as file:
            return file.step(take_back, read_at, check)

    def redo(self, read_at: str | None = None, check: Check | None = None) -> Change:
        """Do again the change that was taken back last; again for the one after it. Otherwise like ``undo``.

        Raises
        ------
        InUseError
            Another command has changed the file since ``read_at``; nothing is done.
        InputError
            Nothing was taken back since the last change.
        """
        with self._open("IMMEDIATE") as file:
            return file.step(do_again, read_at, check)

    def begin(self, lesson: int, place: int) -> None:
        """Keep that the rounds of a lesson up to this one have begun today; 0 for none after all.

        It is no change of the teacher's: it stands in no log, nothing takes it back, and the stamp of the file stays.

        Raises
        ------
        InUseError
            Another command did not finish in time.
        """
        with self._open("IMMEDIATE") as file:
            begin(file.database, lesson, place)

    def history(self) -> tuple[Change, ...]:
        """The last 100 changes, oldest first."""
        with self._open("DEFERRED") as file, file.sound():
            return changes(file.database)

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
        with self._open() as file:
            check_finished(file.database, self.path)
            with transaction(file.database, "IMMEDIATE"):
                file.check_unchanged(read_at)
                file.let_go(what_stays, what, lasting)
            left = write_anew(file.database, self.path)
        sweep(self.path)
        return left

    @contextmanager
    def _open(self, mode: str = "") -> Iterator[OpenFile]:
        """The file in a transaction of this mode, or in none yet; older forms are brought up to date first."""
        check_place(self.path)
        with connected(self.path, self.wait) as database:
            file = OpenFile(database, self.path)
            with file.sound():
                prepare(database)
                lost = check_and_renew(database, self.path, schema.MIGRATIONS)
                aside = finish(database, self.path)
            for what in filter(None, (lost, aside)):
                self._tell(self.path, what)
            with transaction(database, mode) if mode else nullcontext():
                yield file

    def _made_meanwhile(self) -> InUseError:
        return InUseError("{path} came into being meanwhile", "run this command again", path=self.path)

def bytes_of_new(record: ClassRecord, what: str) -> bytes:
    """A new class file as bytes, to be taken elsewhere: it is made in memory, and stands on no disk here."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as database:
        write_whole_class(database, record, what)
        return database.serialize()
