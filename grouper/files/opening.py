"""From a path to sheets: what a file is, is told by what is in it, never by its name."""

from __future__ import annotations

import os
import zipfile
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from grouper.files.atomic import FOLDER, NO_FILE, kind_at
from grouper.files.damage import ZIP_DAMAGE
from grouper.files.decoding import decode
from grouper.files.delimited import Known, read_delimited
from grouper.files.notes import refuse
from grouper.files.sheet import Sheet

MOST_BYTES = 20_000_000
MOST_BYTES_UNPACKED = 150_000_000
MOST_ROWS = 20_000

_MOST_NAMES = 2000
"""Names in a folder that a mistyped one is compared with."""

_AS_CSV_OR_XLSX = "open it in a spreadsheet program and save it as CSV or XLSX"
_STRANGERS = (
    (b"%PDF", "a PDF", "export the list as CSV or XLSX instead"),
    (b"\xd0\xcf\x11\xe0", "an old workbook (XLS) or a locked one", _AS_CSV_OR_XLSX),
    (b"{\\rtf", "a text document (RTF)", "copy the table to a spreadsheet and save it as CSV or XLSX"),
    (b"\x89PNG", "a picture", "export the list as CSV or XLSX instead"),
    (b"\xff\xd8\xff", "a picture", "export the list as CSV or XLSX instead"),
    (b"SQLite format 3", "a class file or another database", "give the roster that it was made from"),
    (b"\x1f\x8b", "a packed file (gzip)", "unpack it first"),
    (b"7z\xbc\xaf", "a packed file (7z)", "unpack it first"),
)
_MARKUP = (b"<!doctype html", b"<html", b"<?xml", b"<table", b"mime-version:")


@dataclass(frozen=True)
class Opened:
    """The name of a file, what kind it is (``text``, ``workbook``, ``oneroster``) and its bytes."""

    file: str
    kind: str
    data: bytes


def open_file(path: Path) -> Opened:
    """The bytes of a file and what kind of file it is.

    Raises
    ------
    InputError
        It is missing, empty, a folder, too large, or of a kind that holds no table.
    """
    path = Path(path)
    data = _bytes_of(path)
    if not data.strip(b"\0 \t\r\n\xef\xbb\xbf\xff\xfe"):
        raise refuse(path.name, "the file is empty", "export it again")
    for start, what, remedy in _STRANGERS:
        if data.startswith(start):
            raise refuse(path.name, f"this is {what}, not a table", remedy)
    if data[:200].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(_MARKUP):
        raise refuse(path.name, "this is a web page or XML, not a table", _AS_CSV_OR_XLSX)
    kind = _kind_of_zip(path.name, data) if data.startswith(b"PK") else "text"
    return Opened(path.name, kind, data)


def _bytes_of(path: Path) -> bytes:
    kind = kind_at(path)
    if kind == FOLDER:
        raise refuse(str(path), "this is a folder", "give one file: CSV, XLSX or a OneRoster zip")
    try:
        if kind == NO_FILE:
            raise refuse(str(path), "this is no file but a pipe, a socket or a device", "save the table in a file")
        if path.stat().st_size > MOST_BYTES:
            raise refuse(path.name, "the file is larger than 20 MB", "export one class alone")
        return path.read_bytes()
    except FileNotFoundError as error:
        raise refuse(str(path), "there is no such file", _like_named(path)) from error
    except (OSError, ValueError) as error:
        raise refuse(str(path), f"the file cannot be opened ({error})", "close it elsewhere or copy it") from error


def _like_named(path: Path) -> str:
    from difflib import get_close_matches

    folder = path.parent
    names = [name for name in _first_names(folder) if name != path.name]
    near = get_close_matches(path.name, names, n=3)
    return f"did you mean {' or '.join(near)}?" if near else "see how its name is written and in which folder it is"


def _first_names(folder: Path) -> list[str]:
    """Names of what is in a folder, some of them in a folder with very many; none where it cannot be read."""
    with suppress(OSError), os.scandir(folder) as entries:
        return sorted(entry.name for entry in islice(entries, _MOST_NAMES))
    return []


def _kind_of_zip(file: str, data: bytes) -> str:
    from io import BytesIO

    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            members = archive.infolist()
    except ZIP_DAMAGE as error:
        raise refuse(file, "the file is damaged or only half downloaded", "fetch or save it again") from error
    if sum(member.file_size for member in members) > MOST_BYTES_UNPACKED:
        raise refuse(file, "unpacked, this is larger than any roster", "export one class alone")
    return _kind_by_members(file, {member.filename for member in members})


def _kind_by_members(file: str, names: set[str]) -> str:
    if "xl/workbook.xml" in names:
        return "workbook"
    if any(name.rsplit("/", 1)[-1] == "users.csv" for name in names):
        return "oneroster"
    if "content.xml" in names and "mimetype" in names:
        raise refuse(file, "this is an OpenDocument file (ODS)", "save it as XLSX or CSV")
    if "word/document.xml" in names:
        raise refuse(file, "this is a text document (DOCX)", "copy its table to a spreadsheet, save that as XLSX")
    raise refuse(file, "this is a zip without users.csv", "give a OneRoster zip, or unpack it and give one file")


def read_sheets(opened: Opened, known: Known) -> tuple[Sheet, ...]:
    """The sheets of a text file (one) or of a workbook (those that are not blank)."""
    if opened.kind == "workbook":
        from grouper.files.spreadsheet import read_workbook

        sheets = read_workbook(opened.data, opened.file)
    elif opened.kind == "text":
        sheets = (read_delimited(decode(opened.data, opened.file), opened.file, known),)
    else:
        raise refuse(opened.file, "a OneRoster zip holds a roster alone", "give a CSV or an XLSX here")
    return tuple(_checked(sheet) for sheet in sheets)


def _checked(sheet: Sheet) -> Sheet:
    if len(sheet.rows) > MOST_ROWS:
        raise refuse(sheet.place, f"it has more than {MOST_ROWS} rows", "export one class alone")
    return sheet
