"""Bringing an older class file to today's form: numbered steps, each in one transaction, a backup first."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from grouper.errors import InputError
from grouper.files.store.connection import transaction
from grouper.files.store.history import RENEWED, make_lasting, stamp
from grouper.files.store.placing import beside, place, unfinished
from grouper.files.store.schema import APPLICATION_ID, Migration

_ENDING = ".backup"


def form_of(database: sqlite3.Connection) -> int:
    """The number of the last migration that the file has had."""
    form: int = database.execute("PRAGMA user_version").fetchone()[0]
    return form


def check_and_renew(database: sqlite3.Connection, path: Path, migrations: Sequence[Migration]) -> None:
    """Make sure that this is a class file in today's form.

    An older file is brought up to date after a copy of it has been put beside it. Changes from before can then no
    longer be undone, as their way back knows only the old tables.

    Raises
    ------
    InputError
        The file is something else, or was made by a newer grouper.
    """
    if database.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise InputError(f"{path} is not a class file; give the file that grouper plan made")
    form = form_of(database)
    if form > len(migrations):
        raise InputError(f"{path} was made by a newer grouper (form {form}); bring this grouper up to date")
    if form < len(migrations):
        _back_up(database, path, form)
        renew(database, migrations)


def renew(database: sqlite3.Connection, migrations: Sequence[Migration]) -> None:
    """Carry out the migrations that are missing, each with its number in one transaction."""
    for number, migration in enumerate(migrations, start=1):
        with transaction(database, "IMMEDIATE"):
            # Looked up under the lock: another command may have been here first.
            if form_of(database) < number:
                _carry_out(database, number, migration)


def _carry_out(database: sqlite3.Connection, number: int, migration: Migration) -> None:
    for statement in migration.statements:
        database.execute(statement)
    database.execute(f"PRAGMA user_version = {number}")
    if number > 1:
        make_lasting(database, RENEWED)
        stamp(database)


def _back_up(database: sqlite3.Connection, path: Path, form: int) -> None:
    """A copy of the file as it is, under a name that is free; by SQLite, so that nobody writes meanwhile."""
    with unfinished(path) as draft:
        with closing(sqlite3.connect(draft)) as copy:
            database.backup(copy)
        _place_under_free_name(draft, path, form)


def _place_under_free_name(draft: Path, path: Path, form: int) -> None:
    number = 1
    while True:
        try:
            return place(draft, path.with_name(f"{path.name}.form{form}-{number}{_ENDING}"))
        except FileExistsError:
            number += 1


def backups_of(path: Path) -> tuple[Path, ...]:
    """The copies that migrations have put beside the file."""
    return beside(path, prefix="", ending=_ENDING)
