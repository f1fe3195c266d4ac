"""Sheets of an XLSX workbook as text, cells as the spreadsheet shows them where that matters (ids with zeros).

The XML is read as it is unpacked and only as far as a table goes: a library that builds every cell as an object takes
half a minute and gigabytes for a sheet of a million empty rows, and fills the gap before a row numbered a billion.
"""

from __future__ import annotations

import posixpath
import re
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from math import isfinite

from grouper.files.cells import number_text, unguard
from grouper.files.notes import Budget, refuse
from grouper.files.sheet_xml import Attributes, Cell, Cells, Packed, Strings, Xml, letters_of, without_empty
from grouper.files.table import Row, Sheet
from grouper.model.texts import has_hidden, tidy

_BOOK = "xl/workbook.xml"
_MOST_SHEETS = 200
_MOST_BYTES_OF_PART = 20_000_000
_ZEROS = re.compile("0+")
_BESIDES = re.compile(r'"[^"]*"|\[(?!hh?\]|mm?\]|ss?\])[^\]]*\]|\\.|_.')
_DATES = frozenset((*range(14, 18), 22, *range(27, 32), 36, *range(50, 59)))
_TIMES = frozenset((18, 19, 20, 21, 32, 33, 34, 35, 45, 47))
_BUILT_IN = {1: "0", 46: "[h]:mm:ss", **dict.fromkeys(_DATES, "d"), **dict.fromkeys(_TIMES, "h")}
"""Shapes of numbers that have a number alone (ECMA-376, part 1, 18.8.30), as far as they matter here."""


@dataclass
class _Book:
    """What the parts of a workbook beside its sheets say."""

    sheets: list[tuple[str, str]] = field(default_factory=list)
    """Title and relation of each."""
    relations: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Kind and member by the name of the relation."""
    shapes: dict[int, str] = field(default_factory=dict)
    styles: list[str] = field(default_factory=list)
    """The shape of numbers in each style."""
    since_1904: bool = False
    _in_cells: bool = False

    def of_book(self, name: str, attributes: Attributes) -> None:
        if name == "sheet":
            relation = next((value for key, value in attributes.items() if key.rpartition(":")[2] == "id"), "")
            self.sheets.append((attributes.get("name", ""), relation))
        elif name == "workbookPr":
            self.since_1904 = attributes.get("date1904", "0") in ("1", "true")

    def of_relations(self, name: str, attributes: Attributes) -> None:
        if name == "Relationship":
            target = posixpath.normpath(posixpath.join("xl", attributes.get("Target", ""))).lstrip("/")
            self.relations[attributes.get("Id", "")] = attributes.get("Type", "").rpartition("/")[2], target

    def of_styles(self, name: str, attributes: Attributes) -> None:
        number = attributes.get("numFmtId", "0")
        known = int(number) if number.isdecimal() and len(number) < 10 else 0
        if name == "numFmt":
            self.shapes[known] = attributes.get("formatCode", "")
        elif name in ("cellXfs", "cellStyleXfs"):
            self._in_cells = name == "cellXfs"
        elif name == "xf" and self._in_cells:
            self.styles.append(self.shapes.get(known, _BUILT_IN.get(known, "")))

    def member(self, kind: str) -> str:
        """The member that is in this relation to the workbook, empty where there is none."""
        return next((target for what, target in self.relations.values() if what == kind), "")


@lru_cache(maxsize=1)  # a command looks into one workbook for roster, lessons and requests, one after the other
def read_workbook(data: bytes, file: str) -> tuple[Sheet, ...]:
    """The sheets that are not blank, in the order of the workbook.

    Raises
    ------
    InputError
        The workbook is damaged or locked, declares a document type, or holds more than tables do.
    """
    packed, xml, book = Packed(data, file), Xml(file), _Book()
    strings = Strings(file)
    relations = "xl/_rels/workbook.xml.rels"
    for member, take in ((_BOOK, book.of_book), (relations, book.of_relations)):
        if member not in packed.names:
            raise refuse(file, f"the workbook is damaged (there is no {member})", "open it, save it again as XLSX")
        xml.parse([packed.bytes_of(member, _MOST_BYTES_OF_PART)], take)
    if len(book.sheets) > _MOST_SHEETS:
        raise refuse(file, f"it has more than {_MOST_SHEETS} sheets", "save the sheets that are needed alone")
    styles, shared = book.member("styles"), book.member("sharedStrings")
    if styles in packed.names:
        xml.parse([packed.bytes_of(styles, _MOST_BYTES_OF_PART)], book.of_styles)
    if shared in packed.names:
        xml.parse(packed.chunks(shared), strings.start, strings.end, strings.text)
    budget = Budget(file)
    sheets = []
    for title, relation in book.sheets:
        kind, member = book.relations.get(relation, ("", ""))
        if kind != "worksheet" or member not in packed.names:
            continue
        reader = _SheetReader(book, strings.texts, budget)
        cells = Cells(file, budget, reader.take)
        xml.parse(without_empty(packed.chunks(member), file), cells.start, cells.end, cells.text)
        sheets.append(reader.sheet(file, tidy(title)))
    return tuple(sheet for sheet in sheets if sheet.rows or sheet.unknown)


def forget_workbook() -> None:
    """Let go of the workbook that was read last, where somebody is erased while the process lives on."""
    read_workbook.cache_clear()


@dataclass
class _SheetReader:
    """Puts the cells of one sheet together to rows."""

    book: _Book
    strings: list[str]
    budget: Budget
    _rows: dict[int, dict[int, str]] = field(default_factory=dict)
    _unknown: list[tuple[int, str]] = field(default_factory=list)
    _hidden: set[int] = field(default_factory=set)
    _open: int = 0

    def take(self, cell: Cell) -> None:
        if cell.row != self._open:
            self._close()
            self._open = cell.row
        if cell.value is None:
            self._unknown.append((cell.row, letters_of(cell.place)))
            return
        text = self._text(cell)
        self.budget.check_cell(len(text), cell.row)
        if has_hidden(text):
            self._hidden.add(cell.row)
        clean = tidy(unguard(text))
        if clean:
            self._rows.setdefault(cell.row, {})[cell.place] = clean

    def _close(self) -> None:
        """Count the row that is over, before there are too many."""
        row = self._rows.get(self._open)
        if row:
            self.budget.check_row(self._open, max(row) + 1, len(row))
        if len(self._unknown) > self.budget.most.rows:
            raise refuse(self.budget.file, "its formulas have no stored values", "open it in its program and save it")

    def sheet(self, file: str, title: str) -> Sheet:
        self._close()
        rows = tuple(
            Row(number, tuple(cells.get(place, "") for place in range(max(cells) + 1)))
            for number, cells in sorted(self._rows.items())
        )
        remark = ("mended", "hidden characters or odd spaces taken off", tuple(sorted(self._hidden)))
        return Sheet(file, title, rows, (remark,) if self._hidden else (), tuple(self._unknown))

    def _text(self, cell: Cell) -> str:
        value = cell.value or ""
        if cell.kind == "s":
            # A longer number is no place in any list, and could be as long as the file.
            place = int(value) if value.strip().isdecimal() and len(value) < 10 else -1
            return self.strings[place] if 0 <= place < len(self.strings) else ""
        if cell.kind == "b":
            return "TRUE" if value.strip() in ("1", "true") else "FALSE"
        if cell.kind == "d":
            try:
                return _day_or_moment(datetime.fromisoformat(value.strip()))
            except ValueError:
                return value.strip()
        if cell.kind != "n":
            return value
        style = self.book.styles[cell.style] if cell.style < len(self.book.styles) else ""
        return _number_as_shown(value.strip(), style, self.book.since_1904)


def _day_or_moment(moment: datetime) -> str:
    return moment.date().isoformat() if moment.time() == time() else moment.isoformat(sep=" ")


def _number_as_shown(text: str, shape: str, since_1904: bool) -> str:
    """An id kept as the number 12 in a cell of the shape ``00000`` is shown, and meant, as 00012."""
    try:
        value = float(text)
    except ValueError:
        return text
    if not isfinite(value):
        return text
    first = shape.split(";")[0]
    digits = first.replace('"', "")
    if value.is_integer() and _ZEROS.fullmatch(digits) and abs(value) < 1e15:
        return f"{int(value):0{min(len(digits), 30)}d}"
    signs = _BESIDES.sub("", first)
    if re.search("[dmhysDMHYS]", signs) and first.casefold() != "general":
        return _date_as_shown(value, signs, since_1904) or number_text(value)
    return number_text(value)


def _date_as_shown(value: float, signs: str, since_1904: bool) -> str:
    """Days since 1900 or 1904 as a date, a time of the day or a span of hours; empty where they are none of these.

    Days before the first of March 1900 are one less, as spreadsheets take 1900 for a leap year (ECMA-376, 18.17.4.1).
    """
    days, fraction = divmod(value, 1)
    part = timedelta(milliseconds=round(fraction * 86_400_000))
    try:
        if re.match(r"\[(h+|m+|s+)\]", signs, re.IGNORECASE):
            return str(timedelta(days=days) + part)
        if 0 <= value < 1 and not part.days:
            return (datetime.min + part).time().isoformat()
        start = date(1904, 1, 1) if since_1904 else date(1899, 12, 31 if 0 < value < 60 else 30)
        return _day_or_moment(datetime.combine(start, time()) + timedelta(days=days) + part)
    except OverflowError:
        return ""
