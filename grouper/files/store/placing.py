"""Putting a finished file in its place in one step, so that nobody ever finds half of it there."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

_ABANDONED = 60.0
"""Seconds after which an unfinished file belongs to nobody: writing one takes well under a second."""


@contextmanager
def unfinished(path: Path) -> Iterator[Path]:
    """A hidden name beside ``path`` for a file in the making; what stands there at the end is removed."""
    draft = path.with_name(f".{path.name}.{os.urandom(4).hex()}.unfinished")
    try:
        yield draft
    finally:
        draft.unlink(missing_ok=True)


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
    except FileExistsError:
        raise
    except OSError:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL))
        draft.replace(path)
    _write_through(path.parent)


def _write_through(folder: Path) -> None:
    """Have the folder's new entry on the disk, where the system can do so."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def sweep(path: Path) -> None:
    """Remove what commands that were killed while making ``path`` or a copy of it have left beside it."""
    for entry in beside(path, prefix=".", ending=""):
        if ".unfinished" in entry.name:
            with suppress(OSError):
                if time.time() - entry.stat().st_mtime > _ABANDONED:
                    entry.unlink()


def beside(path: Path, prefix: str, ending: str) -> tuple[Path, ...]:
    """The files of the same folder whose names are ``prefix``, the name of ``path``, a point, more, and ``ending``."""
    with suppress(OSError):
        return tuple(
            entry
            for entry in sorted(path.parent.iterdir())
            if entry.name.startswith(f"{prefix}{path.name}.") and entry.name.endswith(ending)
        )
    return ()
