"""Putting a finished class file in its place in one step, and what lies beside it."""

from __future__ import annotations

import os
import re
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from grouper.errors import InputError
from grouper.files.atomic import OWNER_ALONE, beside, sweep_abandoned, sync_folder, unfinished_beside
from grouper.words import Remedy

BACKUP = "backup"
DAMAGED_COPY = "damaged"


def check_place(path: Path) -> None:
    """Raise InputError where no file stands at the path, or none that could be a class file; it is not opened."""
    try:
        there = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        if path.is_symlink():
            raise InputError(
                "{path} is a link to a file that is not there", "delete the link, or mend it", path=path
            ) from None
        raise InputError("there is no class file {path}", Remedy.MAKE_CLASS, path=path) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise InputError(
            "{path} cannot be opened ({why})", "check its name and who may read it", path=path, why=why
        ) from error
    if S_ISDIR(there.st_mode):
        raise InputError("{path} is a folder", "give the class file in it", path=path)
    if not S_ISREG(there.st_mode):
        raise InputError("{path} is no file but a pipe, a socket or a device", "give the class file", path=path)
    if there.st_size == 0:
        raise InputError("{path} is empty", Remedy.RESTORE_COPY, path=path)


def journal_of(path: Path) -> Path:
    """Where SQLite keeps what it needs to take back a change that did not come to its end."""
    return path.with_name(f"{path.name}-journal")


def place(draft: Path, path: Path) -> None:
    """Give a finished file its name, unless the name is taken.

    A hard link does it in one step. A file system that knows no links (many memory sticks) first gets an empty file
    that holds the name and then the finished one in its place.

    Raises
    ------
    FileExistsError
        The name is taken.
    """
    try:
        os.link(draft, path)
    except (FileExistsError, FileNotFoundError):
        raise
    except OSError:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL, OWNER_ALONE))
        draft.replace(path)
    sync_folder(path.parent)


def sweep(path: Path) -> None:
    """Remove what commands that were killed while making ``path`` or a copy of it have left beside it."""
    for left in unfinished_beside(path):
        sweep_abandoned(left)


def copies_of(path: Path) -> tuple[Path, ...]:
    """What stands beside a class file and holds what it held: backups, files put aside, and what is unfinished.

    Reports, sheets and tables that were not written to their end are named too, whatever class they are of.
    """
    name = re.escape(path.name)
    copies = rf"{name}\.(?:form\d+-\d+\.{BACKUP}|{DAMAGED_COPY}-\d+(?:-journal)?)"
    parts = beside(path, r"\..+\.[0-9a-f]{8}\.part")
    return tuple(dict.fromkeys((*beside(path, copies), *unfinished_beside(path), *parts)))


def backups_of(path: Path, form: int) -> tuple[Path, ...]:
    """The copies that were made before the file was brought from this form to a newer one."""
    return beside(path, rf"{re.escape(path.name)}\.form{form}-\d+\.{BACKUP}")
