"""From a path to sheets: what a file is, is told by what is in it, never by its name; and which sheet holds what."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from grouper.errors import InputError
from grouper.files.atomic import FOLDER, is_class_file, kind_at
from grouper.files.delimited import Known, decode, read_delimited
from grouper.files.notes import Findings, refuse
from grouper.files.sheet_xml import Packed
from grouper.files.table import SEARCHED_ROWS, Sheet, Table, Vocabulary, find_table
from grouper.files.words.headers import (
    LESSON_SHEETS,
    LESSONS,
    NAME_FIELDS,
    REQUEST_SHEETS,
    REQUESTS,
    ROSTER,
    ROSTER_SHEETS,
)

MOST_BYTES = 20_000_000

_AS_CSV_OR_XLSX = "open it in a spreadsheet program and save it as CSV or XLSX"
_A_CLASS_FILE = "a class file or another database", "give the roster that it was made from"
_STRANGERS = (
    (b"%PDF", "a PDF", "export the list as CSV or XLSX instead"),
    (b"\xd0\xcf\x11\xe0", "an old workbook (XLS) or a locked one", _AS_CSV_OR_XLSX),
    (b"{\\rtf", "a text document (RTF)", "copy the table to a spreadsheet and save it as CSV or XLSX"),
    (b"\x89PNG", "a picture", "export the list as CSV or XLSX instead"),
    (b"\xff\xd8\xff", "a picture", "export the list as CSV or XLSX instead"),
    (b"SQLite format 3", *_A_CLASS_FILE),
    (b"\x1f\x8b", "a packed file (gzip)", "unpack it first"),
    (b"7z\xbc\xaf", "a packed file (7z)", "unpack it first"),
)
_SOMETHING = re.compile(rb"[^\0 \t\r\n\xef\xbb\xbf\xff\xfe]")
_MOST_LIKE_NAMED = 1000
_MARKUP = (b"<!doctype html", b"<html", b"<?xml", b"<table", b"mime-version:")


@dataclass(frozen=True)
class Given:
    """A file that was handed over as it is, and stands on no disk: its name and its bytes."""

    name: str
    data: bytes


@dataclass(frozen=True)
class Opened:
    """The name of a file, what kind it is (``text``, ``workbook``, ``oneroster``) and its bytes."""

    file: str
    kind: str
    data: bytes


Source = Path | str | Given
"""A file on the disk, or handed over."""


def open_file(path: Source) -> Opened:
    """The bytes of a file, on the disk or handed over, and what kind of file it is.

    Raises
    ------
    InputError
        It is missing, empty, a folder, too large, or of a kind that holds no table.
    """
    file = path if isinstance(path, Given) else Given(Path(path).name, _bytes_of(Path(path)))
    data = file.data
    if not _SOMETHING.search(data):
        raise refuse(file.name, "the file is empty", "export it again")
    for start, what, remedy in _STRANGERS:
        if data.startswith(start):
            raise refuse(file.name, f"this is {what}, not a table", remedy)
    # Some school systems export a web page under the name of a spreadsheet.
    if data[:200].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(_MARKUP):
        raise refuse(file.name, "this is a web page or XML, not a table", _AS_CSV_OR_XLSX)
    kind = _kind_by_members(file.name, set(Packed(data, file.name).names)) if data.startswith(b"PK") else "text"
    return Opened(file.name, kind, data)


def _bytes_of(path: Path) -> bytes:
    """The bytes of an ordinary file; anything else might give bytes for ever, or never any."""
    if is_class_file(path):  # which is never opened but through SQLite: this command may hold a lock on it
        raise refuse(path.name, f"this is {_A_CLASS_FILE[0]}, not a table", _A_CLASS_FILE[1])
    try:
        # Without O_NONBLOCK opening a pipe waits until somebody writes to it, which may be never.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as file:
            kind = os.fstat(handle)
            if stat.S_ISREG(kind.st_mode):
                data = b"" if kind.st_size > MOST_BYTES else file.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise refuse(str(path), "there is no such file", _like_named(path)) from error
    except (OSError, ValueError) as error:
        if kind_at(path) == FOLDER:
            raise _no_file(path, "this is a folder") from error
        raise refuse(str(path), f"the file cannot be opened ({error})", "close it elsewhere or copy it") from error
    if not stat.S_ISREG(kind.st_mode):
        folder = stat.S_ISDIR(kind.st_mode)
        raise _no_file(path, "this is a folder" if folder else "this is a device or a pipe, no file")
    if kind.st_size > MOST_BYTES or len(data) > MOST_BYTES:
        raise refuse(path.name, f"the file is larger than {MOST_BYTES // 1_000_000} MB", "export one class alone")
    return data


def _no_file(path: Path, what: str) -> InputError:
    return refuse(str(path), what, "give one file: CSV, XLSX or a OneRoster zip")


def _like_named(path: Path) -> str:
    from difflib import get_close_matches

    try:
        names = sorted(islice((entry.name for entry in os.scandir(path.parent)), _MOST_LIKE_NAMED))
    except OSError:
        names = []
    near = get_close_matches(path.name, names, n=3)
    return f"did you mean {' or '.join(near)}?" if near else "see how its name is written and in which folder it is"


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
    return sheets


def table_in(
    path: Source,
    words: Vocabulary,
    needed: tuple[str, ...],
    sheet_of: Callable[[tuple[Sheet, ...]], Sheet | None],
    none: tuple[str, str],
) -> tuple[Table, Findings]:
    """The table of a CSV file, or of the sheet of a workbook that ``sheet_of`` picks, and what was noticed so far.

    Raises
    ------
    InputError
        The file cannot be opened, no sheet is picked (``none``: what is wrong, and what to try), or it has no header.
    """
    opened = open_file(path)
    sheet = sheet_of(read_sheets(opened, words.known))
    if sheet is None:
        raise refuse(opened.file, *none)
    findings = Findings(sheet.place)
    return find_table(sheet, words, needed, findings), findings


def looks_like_lessons(sheet: Sheet) -> bool:
    """Whether a row of the sheet names an activity and a lesson."""
    return has_row(sheet, LESSONS, ("activity",), ("lesson",))


def looks_like_requests(sheet: Sheet) -> bool:
    """Whether a row of the sheet names two students and the kind of request."""
    return has_row(sheet, REQUESTS, ("student",), ("other",), ("kind",))


def looks_like_roster(sheet: Sheet) -> bool:
    """Whether a row of the sheet names a column of names, and it is neither lessons nor requests."""
    named = has_row(sheet, ROSTER, NAME_FIELDS)
    return named and not looks_like_lessons(sheet) and not looks_like_requests(sheet)


def has_row(sheet: Sheet, words: Vocabulary, *meanings: tuple[str, ...]) -> bool:
    """Whether a row near the top has a cell with one of each of these meanings."""
    return any(all(words.knows_any(row.cells, each) for each in meanings) for row in sheet.rows[:SEARCHED_ROWS])


def roster_sheet(sheets: tuple[Sheet, ...], title: str = "") -> Sheet:
    """The sheet of the roster: the one with this title, or named so, or the first that looks like one, or the first."""
    titled = [sheet for sheet in sheets if title and sheet.title.casefold() == title.casefold()]
    return titled[0] if titled else _best(sheets, ROSTER_SHEETS, looks_like_roster) or sheets[0]


def lessons_sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the lessons, by its name or its headers; the only one of a text file; None where there is none."""
    return only_text(sheets) or _best(sheets, LESSON_SHEETS, looks_like_lessons)


def requests_sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the requests, by its name or its headers; the only one of a text file; None where there is none."""
    return only_text(sheets) or _best(sheets, REQUEST_SHEETS, looks_like_requests)


def only_text(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of a text file, which has no other; None for those of a workbook."""
    return sheets[0] if len(sheets) == 1 and not sheets[0].title else None


def _best(sheets: tuple[Sheet, ...], titles: Vocabulary, looks: Callable[[Sheet], bool]) -> Sheet | None:
    named = [sheet for sheet in sheets if titles.meaning(sheet.title)]
    looking = [sheet for sheet in sheets if looks(sheet)]
    both = [sheet for sheet in named if sheet in looking]
    return next(iter([*both, *looking, *named]), None)


@dataclass(frozen=True)
class Contents:
    """Which of the three tables a file holds."""

    roster: bool
    lessons: bool
    requests: bool


def contents_of(path: Path) -> Contents:
    """Which of the three tables a workbook holds; any other file holds none but what it is read for.

    Raises
    ------
    InputError
        The file cannot be opened.
    """
    opened = open_file(path)
    sheets = read_sheets(opened, lambda cells: 0) if opened.kind == "workbook" else ()
    return Contents(
        any(looks_like_roster(sheet) or bool(ROSTER_SHEETS.meaning(sheet.title)) for sheet in sheets),
        any(map(looks_like_lessons, sheets)),
        any(map(looks_like_requests, sheets)),
    )
