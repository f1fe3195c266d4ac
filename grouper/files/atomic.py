"""Writing a file so that it is there whole or not at all."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from grouper.errors import InputError
from grouper.files.class_kind import refuse_class_file


def write_whole(path: Path, data: bytes) -> None:
    """Write a file in one step: whoever looks sees the old file or the whole new one.

    Raises
    ------
    InputError
        The folder is not there, the file cannot be written, or it is a class file.
    """
    refuse_class_file(path)
    if path.is_dir():
        raise InputError(f"{path} is a folder; give the name of a file in it")
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        _write_through(part, data)
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise InputError(f"{path} cannot be written ({error.strerror}); {_remedy(path)}") from error
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _write_through(part: Path, data: bytes) -> None:
    with part.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _remedy(path: Path) -> str:
    if not path.parent.is_dir():
        return f"there is no folder {path.parent}; make it first"
    return "close it in other programs, or choose another place"
