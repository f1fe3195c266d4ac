"""Putting a copy in the place of a class file that is damaged or gone, in a way that nothing can go wrong with.

A plain copy over the damaged file goes wrong where a journal lies beside it: SQLite takes it for the journal of the
copy, and plays the old pages back into it.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from itertools import count
from pathlib import Path

from grouper.errors import InputError, InUseError
from grouper.files.atomic import FILE, OWNER_ALONE, beside, kind_at, sync_folder, unfinished
from grouper.files.store import schema
from grouper.files.store.class_file import ClassFile
from grouper.files.store.connection import connected, prepare
from grouper.files.store.inspection import inspected_form
from grouper.files.store.migrate import copy_to
from grouper.files.store.placing import BACKUP, DAMAGED_COPY, check_place, journal_of, place, restoring_mark


def restore(path: Path, copy: Path, wait: float = 5.0) -> Path | None:
    """Put a copy in the place of a class file; where the old file is kept, None where there was none.

    The copy is checked page by page, and read as a class file, before anything is touched. The old file is kept beside
    the new one, with the journal that belongs to it, if it still has one.

    Raises
    ------
    InputError
        The copy is no sound class file, or the folder cannot be written in; nothing was changed.
    InUseError
        Another command is at work on the file; nothing was changed.
    """
    check_place(copy)
    path = Path(os.path.realpath(path))
    if path == Path(os.path.realpath(copy)):
        raise InputError("{copy} is the file itself", "give a copy of it", copy=copy)
    if os.path.lexists(path) and kind_at(path) != FILE:
        raise InputError("{path} is no file", "give the class file", path=path)
    try:
        with unfinished(path) as draft:
            with connected(copy, wait) as database:
                prepare(database)
                inspected_form(database, copy, schema.MIGRATIONS)
            # By SQLite and not byte by byte: the copy may have a journal of its own, whose change is not over.
            copy_to(draft, copy)
            _check_sound(draft, path, copy)
            mark = restoring_mark(path)
            with _alone(path, wait):
                # A command that finds it says where the old file is, should this one not come to say so.
                mark.touch(OWNER_ALONE)
                sync_folder(path.parent)
                kept = _put_aside(path)
                place(draft, path)
            mark.unlink(missing_ok=True)
            return kept
    except FileExistsError:
        raise InUseError("{path} came into being meanwhile", "run this command again", path=path) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise InputError("{path} cannot be brought back ({why})", "check its folder", path=path, why=why) from error


def _check_sound(draft: Path, path: Path, copy: Path) -> None:
    """Raise InputError, in the name of the copy, where a copy of it is not sound on every page or holds no class."""
    with closing(sqlite3.connect(draft)) as database:
        found = database.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise InputError("{path} is damaged too", "give an older copy", path=copy)
    with unfinished(path) as second:
        # Reading brings an older form to today's, and may put a backup beside: both of a copy that is thrown away.
        copy_to(second, draft)
        try:
            ClassFile(second, tell=lambda _path, _what: None).read()
        except InputError as error:
            raise InputError(
                error.said.text, error.said.remedy, **{**error.facts, "path": copy}, troubles=error.troubles
            ) from error
        finally:
            for backup in beside(second, rf"{re.escape(second.name)}\.form\d+-\d+\.{BACKUP}"):
                backup.unlink(missing_ok=True)


@contextmanager
def _alone(path: Path, wait: float) -> Iterator[None]:
    """Around what replaces a file: nobody else is at work on it, and its journal, if SQLite can use it, has been."""
    if not path.exists():
        yield
        return
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=rw", timeout=wait, uri=True, isolation_level=None)) as database:
        try:
            database.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError as error:
            if getattr(error, "sqlite_errorcode", 0) & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise InUseError("{path} is in use by another command", "try again in a moment", path=path) from error
        except sqlite3.DatabaseError:
            pass  # it is so damaged that SQLite does not know it: nobody else can be at work on it either
        yield
        with suppress(sqlite3.Error):
            database.execute("ROLLBACK")


def _put_aside(path: Path) -> Path | None:
    """Give the old file and its journal another name, the file first: nobody ever sees it without its journal."""
    journal = journal_of(path)
    for number in count(1):
        kept = path.with_name(f"{path.name}.{DAMAGED_COPY}-{number}")
        if not os.path.lexists(kept) and not os.path.lexists(journal_of(kept)):
            break
    there = path.exists()
    if there:
        path.rename(kept)
    if os.path.lexists(journal):
        journal.rename(journal_of(kept))
    sync_folder(path.parent)
    return kept if there else None
