"""Telling a class file from any other by its first bytes, so that nothing else is ever written over one."""

from __future__ import annotations

from pathlib import Path

from grouper.errors import InputError

_SQLITE = b"SQLite format 3\0"
_APPLICATION_ID = slice(68, 72)
"""Where an SQLite file says whose it is (SQLite, 'Database File Format', section 1.3)."""

_GROUPER = b"grup"


def is_class_file(path: Path) -> bool:
    """Whether a class file stands at the path; looked at without opening it as a database."""
    try:
        with path.open("rb") as file:
            head = file.read(72)
    except OSError:
        return False
    return head.startswith(_SQLITE) and head[_APPLICATION_ID] == _GROUPER


def refuse_class_file(path: Path) -> None:
    """Raise InputError where a class file stands at the path that something else is to be written to."""
    if is_class_file(path):
        raise InputError(f"{path} is a class file and is not written over; give another name")
