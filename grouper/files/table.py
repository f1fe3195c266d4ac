"""A sheet as a table: the header row found, title rows above it told apart, every column with its header."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from grouper.files.notes import Findings
from grouper.files.numbers import number
from grouper.files.sheet import Row, Sheet
from grouper.files.vocabulary import Vocabulary
from grouper.words import Remedy

_SEARCHED_ROWS = 60


@dataclass(frozen=True)
class Column:
    """A column: its place from 0, its header, and what the header means (empty where that is not known)."""

    place: int
    header: str
    meaning: str = ""

    @property
    def shown(self) -> str:
        """The header, or the place of a column that has none, for messages."""
        return self.header or f"number {self.place + 1}"


@dataclass(frozen=True)
class Table:
    """The columns of a sheet and the rows below its header."""

    place: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    def column(self, meaning: str) -> Column | None:
        """The first column of a meaning, or None."""
        return next((column for column in self.columns if column.meaning == meaning), None)

    def columns_of(self, meaning: str) -> tuple[Column, ...]:
        """All columns of a meaning."""
        return tuple(column for column in self.columns if column.meaning == meaning)

    def values(self, column: Column) -> list[str]:
        """The cells of a column from top to bottom."""
        return [row.cell(column.place) for row in self.rows]


def find_table(sheet: Sheet, vocabulary: Vocabulary, needed: tuple[str, ...], findings: Findings) -> Table:
    """The table of a sheet; its header is the row with most words of the vocabulary, one of ``needed`` among them.

    Where no header is known, a row of words above columns of numbers serves as one, with its meanings empty.

    Raises
    ------
    InputError
        No row can be the header.
    """
    report_opening(sheet, findings)
    header = _header(sheet, vocabulary, needed) or _guessed_header(sheet)
    if header is None:
        _no_header(sheet, findings)
        raise findings.error()
    above = tuple(row for row in sheet.rows if row.number < header.number)
    if above:
        findings.note("left out", "above the header, not read", tuple(row.number for row in above))
    columns = _columns(header, sheet, vocabulary, findings)
    below = [row for row in sheet.rows if row.number > header.number]
    return Table(sheet.place, columns, _without_repeated_headers(header, below, findings))


def refuse_or_leave_out(column: Column, table: Table, words: Vocabulary, what: str, findings: Findings) -> None:
    """A column that nothing is read from: refused where it has values and is not known, as it was meant."""
    filled = any(table.values(column))
    if column.meaning:
        findings.note("left out", "another column serves for this", column=column.shown)
    elif filled:
        known = ", ".join(words.words)
        message = f"this column is not known in a table of {what}"
        findings.trouble(message, f"use one of {known}, or take the column out", column=column.shown)
    elif column.header:
        findings.note("left out", f"not known in a table of {what}, and empty", column=column.shown)


def report_opening(sheet: Sheet, findings: Findings) -> None:
    """Pass on what was noticed while the file was opened."""
    for kind, text, rows in sheet.remarks:
        findings.note(kind, text, rows)
    for row, letter in sheet.unknown:
        findings.trouble("the formula has no stored value", "open the file in its program and save it", row, letter)


def _header(sheet: Sheet, vocabulary: Vocabulary, needed: tuple[str, ...]) -> Row | None:
    candidates = sheet.rows[:_SEARCHED_ROWS]
    exact = [row for row in candidates if vocabulary.knows_any(row.cells, needed)]
    if exact:
        return max(exact, key=lambda row: vocabulary.known(row.cells))
    close = [row for row in candidates if any(vocabulary.close_meaning(cell) in needed for cell in row.cells)]
    return close[0] if close else None


def _guessed_header(sheet: Sheet) -> Row | None:
    """The first row of the usual width, if it is all words and some column below it is all numbers."""
    if len(sheet.rows) < 3:
        return None
    usual = Counter(row.width for row in sheet.rows).most_common(1)[0][0]
    first = next(row for row in sheet.rows if row.width == usual)
    below = [row for row in sheet.rows if row.number > first.number]
    words = len(first.filled) == usual > 1 and not any(number(cell) is not None for cell in first.cells)
    return first if words and any(_all_numbers(below, place) for place in range(usual)) else None


def _all_numbers(rows: list[Row], place: int) -> bool:
    cells = [row.cell(place) for row in rows if row.cell(place)]
    return bool(cells) and all(number(cell) is not None for cell in cells)


def _no_header(sheet: Sheet, findings: Findings) -> None:
    if not sheet.rows:
        findings.trouble("there are no rows in it", "export it again")
        return
    first = sheet.rows[0]
    cells = ", ".join(f"'{cell}'" for cell in first.filled[:5])
    findings.trouble(f"no row names the columns; the first cells are {cells}", Remedy.ADD_HEADERS, first.number)


def _columns(header: Row, sheet: Sheet, vocabulary: Vocabulary, findings: Findings) -> tuple[Column, ...]:
    width = max(row.width for row in sheet.rows if row.number >= header.number)
    columns = []
    for place in range(width):
        text = header.cell(place)
        meaning = vocabulary.meaning(text)
        close = "" if meaning or not text else vocabulary.close_meaning(text)
        if close:
            findings.note("understood", f"taken for the column {close}", (header.number,), text, meaning=close)
        columns.append(Column(place, text, meaning or close))
    return tuple(columns)


def _without_repeated_headers(header: Row, rows: list[Row], findings: Findings) -> tuple[Row, ...]:
    again = tuple(row.number for row in rows if row.filled == header.filled)
    if again:
        findings.note("left out", "the header once more", again)
    return tuple(row for row in rows if row.number not in again)
