"""Bringing an older class file to today's form: numbered steps in one transaction, a backup first."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from grouper.files.atomic import unfinished
from grouper.files.store.connection import connected, new_database, transaction
from grouper.files.store.history import RENEWED, make_lasting, stamp
from grouper.files.store.inspection import inspected_form
from grouper.files.store.placing import BACKUP, backups_of, place
from grouper.files.store.schema import Migration

_PATIENCE = 5.0
"""Seconds to wait for somebody who writes to a file that is copied."""


def form_of(database: sqlite3.Connection) -> int:
    """The number of the last migration that the file has had."""
    form: int = database.execute("PRAGMA user_version").fetchone()[0]
    return form


def check_and_renew(database: sqlite3.Connection, path: Path, migrations: Sequence[Migration]) -> str:
    """Make sure that this is a class file in today's form.

    An older file is brought up to date, after a copy of it has been put beside it; if that fails, there is no copy and
    the file is what it was. Changes from before can then no longer be undone, as their way back knows only the old
    tables.

    Returns
    -------
    str
        What an older file held and the new form does not take as it was, in a sentence; empty for nothing.

    Raises
    ------
    InputError
        The file is something else, was made by a newer grouper, or holds what is not grouper's.
    """
    if inspected_form(database, path, migrations) == len(migrations):
        return ""
    backup: Path | None = None
    try:
        # The copy is made before the migration and named once that went through, so that there is none where it failed.
        with unfinished(path) as draft, transaction(database, "IMMEDIATE"):
            # Looked up under the lock: another command may have been here first.
            form = form_of(database)
            # A run that was stopped may have left a backup of this very state.
            state = database.execute("SELECT version FROM stamp").fetchone()
            if form < len(migrations) and state not in map(_state_of, backups_of(path, form)):
                copy_to(draft, path)
            lost = _carry_out(database, migrations)
            if draft.exists():
                backup = _place_under_free_name(draft, path, form)
    except BaseException:
        if backup is not None:
            backup.unlink(missing_ok=True)
        raise
    if not lost:
        return ""
    copies = ", ".join(copy.name for copy in backups_of(path, form))
    return f"{path.name} was brought to a newer form, which does not take all as it was: {lost}; {copies} has it still"


def _carry_out(database: sqlite3.Connection, migrations: Sequence[Migration]) -> str:
    """Carry them out; what was lost by them, in words."""
    lost = []
    for number, migration in enumerate(migrations, start=1):
        if form_of(database) < number:
            for loss in migration.losses:
                (times,) = database.execute(loss.count).fetchone()
                database.execute(loss.statement)
                lost += [f"{times} x {loss.words}"] * (times > 0)
            for statement in migration.statements:
                database.execute(statement)
            database.execute(f"PRAGMA user_version = {number}")
            if number > 1:
                make_lasting(database, RENEWED)
                stamp(database)
    return "; ".join(lost)


def copy_to(draft: Path, path: Path) -> None:
    """A copy of a class file as it is, for its owner alone; by SQLite, so that nobody writes meanwhile."""
    with connected(path, _PATIENCE) as source, new_database(draft, path) as copy:
        # Locked by this look, as the copying itself would wait for others without an end.
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_master").fetchone()
        source.backup(copy)


def _state_of(backup: Path) -> object:
    try:
        with closing(sqlite3.connect(f"{backup.absolute().as_uri()}?mode=ro", uri=True)) as database:
            return database.execute("SELECT version FROM stamp").fetchone()
    except sqlite3.Error:
        return None


def _place_under_free_name(draft: Path, path: Path, form: int) -> Path:
    number = 1
    while True:
        backup = path.with_name(f"{path.name}.form{form}-{number}.{BACKUP}")
        try:
            place(draft, backup)
        except FileExistsError:
            number += 1
        else:
            return backup
