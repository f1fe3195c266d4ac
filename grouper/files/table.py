"""A table of text cells, whatever file it came from, and what its headers mean, in several languages.

The header row is found, title rows above it are told apart, and every column has its header.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from math import inf
from pathlib import Path

from grouper.files.cells import fold, is_not_rated, number
from grouper.files.notes import Findings
from grouper.model.texts import tidy
from grouper.words import Remedy

_CLOSE = 0.87
"""Two letters swapped in a word of eight are still close (0.875), as are one missing in a word of five (0.889)."""
_SHORTEST_CLOSE = 5
_LONGEST = 300
"""Letters of a cell beyond which it is no word; a search for brackets takes the square of its length."""

_BRACKETS = re.compile(r"[(\[（].*?[)\]）]")


@dataclass(frozen=True)
class Vocabulary:
    """Words by what they mean; each text of ``words`` holds the words of one meaning, parted by ``;``.

    ``close_to`` names the meanings for which a word spelled slightly wrong is understood too.
    """

    words: Mapping[str, str]
    close_to: frozenset[str] = frozenset()

    @cached_property
    def _meanings(self) -> dict[str, str]:
        index: dict[str, str] = {}
        for meaning, words in self.words.items():
            for word in words.split(";"):
                index.setdefault(_key(word), meaning)
        return index

    def meaning(self, text: str) -> str:
        """What a word means, empty where it is not known; what stands in brackets may be missing or not."""
        if len(text) > _LONGEST:
            return ""
        return self._meanings.get(_key(text)) or self._meanings.get(_key(_BRACKETS.sub(" ", text)), "")

    def close_meaning(self, text: str) -> str:
        """What a word that is not known means if it is only spelled wrong, empty otherwise."""
        from difflib import get_close_matches

        folded = fold(text)
        if not _SHORTEST_CLOSE <= len(folded) <= _LONGEST:
            return ""
        candidates = [word for word, meaning in self._meanings.items() if meaning in self.close_to and len(word) > 4]
        near = get_close_matches(folded, candidates, n=1, cutoff=_CLOSE)
        return self._meanings[near[0]] if near else ""

    def known(self, cells: Sequence[str]) -> int:
        """How many of these cells are words that mean something, each meaning counted once."""
        return len({meaning for meaning in map(self.meaning, cells) if meaning})

    def knows_any(self, cells: Sequence[str], meanings: Iterable[str]) -> bool:
        """Whether one of the cells has one of these meanings."""
        wanted = set(meanings)
        return any(self.meaning(cell) in wanted for cell in cells)


@cache
def texts_of_words(name: str) -> dict[str, str]:
    """The texts in a file of ``words/``, by what they are called; the file says at its top how it is written."""
    text = (Path(__file__).parent / "words" / f"{name}.txt").read_text(encoding="utf-8")
    parts = (part.partition("\n") for part in text.split("\n== ")[1:])
    return {called: said.strip("\n") for called, _, said in parts}


def vocabularies(name: str) -> dict[str, Vocabulary]:
    """The tables of words in a file of ``words/``, by what they are called."""
    found = {}
    for called, text in texts_of_words(name).items():
        _, *parts = re.split(r"(?:^|\n)\[(.+)\]\n", text)
        words = {meaning.removesuffix(" ~"): said for meaning, said in zip(parts[::2], parts[1::2], strict=True)}
        found[called] = Vocabulary(words, frozenset(m.removesuffix(" ~") for m in parts[::2] if m.endswith(" ~")))
    return found


def word_set(called: str) -> frozenset[str]:
    """Single words of ``words/rows.txt``, folded, for asking whether a word is among them."""
    return frozenset(map(fold, texts_of_words("rows")[called].split()))


def _key(text: str) -> str:
    """The folded word; the bare text for signs such as ``#`` that folding takes away."""
    return fold(text) or tidy(text)


@dataclass(frozen=True)
class Row:
    """The tidy cells of one row and its number as the spreadsheet shows it, from 1."""

    number: int
    cells: tuple[str, ...]

    @property
    def filled(self) -> tuple[str, ...]:
        """The cells that are not empty."""
        return tuple(cell for cell in self.cells if cell)

    @property
    def width(self) -> int:
        """Number of cells up to the last one that is not empty."""
        return max((place for place, cell in enumerate(self.cells, start=1) if cell), default=0)

    def cell(self, place: int) -> str:
        """The cell at a place counted from 0; empty where the row is shorter."""
        return self.cells[place] if place < len(self.cells) else ""


@dataclass(frozen=True)
class Sheet:
    """The rows of a text file or of one sheet of a workbook, blank ones left out.

    ``remarks`` are kind, text and rows of what was noticed while the file was opened; ``unknown`` the places (row,
    column letter) of formulas without a stored value.
    """

    file: str
    title: str
    rows: tuple[Row, ...]
    remarks: tuple[tuple[str, str, tuple[int, ...]], ...] = ()
    unknown: tuple[tuple[int, str], ...] = ()

    @property
    def place(self) -> str:
        """The file, and the sheet where it has a name, for messages."""
        return f"{self.file} (sheet '{self.title}')" if self.title else self.file


SEARCHED_ROWS = 60
"""A header further down is none."""


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


@dataclass(frozen=True)
class RowReader:
    """Reads rows of a table by what its columns mean; what is wrong, or worth a look, goes to ``findings``."""

    table: Table
    findings: Findings

    def cell(self, row: Row, meaning: str) -> str:
        """The cell in the column of this meaning; empty where the table has none."""
        column = self.table.column(meaning)
        return row.cell(column.place) if column else ""

    def trouble(self, row: Row, meaning: str, message: str, remedy: str) -> None:
        """Something wrong with that cell, told with the header that the teacher wrote."""
        column = self.table.column(meaning)
        self.findings.trouble(message, remedy, row.number, column.shown if column else meaning)

    def note(self, row: Row, meaning: str, kind: str, text: str) -> None:
        """What was done with that cell."""
        column = self.table.column(meaning)
        self.findings.note(kind, text, (row.number,), column.shown if column else meaning)

    def number(
        self, row: Row, meaning: str, wrong: str, remedy: str, fits: Callable[[float], bool], unit: str = ""
    ) -> float | None:
        """The number in that cell, perhaps with its unit; None where it holds none on purpose, and where it is no
        number that fits: that is ``wrong``, a sentence with a place for the cell."""
        cell = self.cell(row, meaning)
        if is_not_rated(cell):
            return None
        value = number(cell.casefold().removesuffix(unit).rstrip() if unit else cell)
        if value is None or not fits(value):
            self.trouble(row, meaning, wrong.format(cell=f"'{cell}'"), remedy)
            return None
        return value

    def whole(
        self, row: Row, meaning: str, wrong: str, remedy: str, most: float = inf
    ) -> int | None:
        """A whole number from 1 on; otherwise like ``number``."""
        value = self.number(row, meaning, wrong, remedy, lambda number: number.is_integer() and 1 <= number <= most)
        return None if value is None else int(value)

    def word(self, row: Row, meaning: str, words: Vocabulary) -> str:
        """What the word in that cell means, also where it is spelled slightly wrong; empty where it is not known."""
        cell = self.cell(row, meaning)
        return words.meaning(cell) or words.close_meaning(cell)

    def need(self, meanings: Iterable[str], remedy: Remedy | str) -> None:
        """Stop the reading where a column is lacking, or where anything else was wrong with the columns."""
        for meaning in meanings:
            if self.table.column(meaning) is None:
                self.findings.trouble(f"there is no column '{meaning}'", remedy)
        self.findings.stop_if_troubled()


def find_table(sheet: Sheet, vocabulary: Vocabulary, needed: tuple[str, ...], findings: Findings) -> Table:
    """The table of a sheet; its header is the row with most words of the vocabulary, one of ``needed`` among them.

    Where no header is known, a row of words above columns of numbers serves as one, with its meanings empty.

    Raises
    ------
    InputError
        No row can be the header.
    """
    for kind, text, rows in sheet.remarks:
        findings.note(kind, text, rows)
    for row, letter in sheet.unknown:
        findings.trouble("the formula has no stored value", "open the file in its program and save it", row, letter)
    header = _header(sheet, vocabulary, needed) or _guessed_header(sheet)
    if header is None and sheet.rows:
        cells = ", ".join(f"'{cell}'" for cell in sheet.rows[0].filled[:5])
        message = f"no row names the columns; the first cells are {cells}"
        findings.trouble(message, Remedy.ADD_HEADERS, sheet.rows[0].number)
    elif header is None:
        findings.trouble("there are no rows in it", "export it again")
    if header is None:
        raise findings.error()
    above = tuple(row for row in sheet.rows if row.number < header.number)
    if above:
        findings.note("left out", "above the header, not read", tuple(row.number for row in above))
    columns = _columns(header, sheet, vocabulary, findings)
    below = [row for row in sheet.rows if row.number > header.number]
    again = tuple(row.number for row in below if row.filled == header.filled)
    if again:
        findings.note("left out", "the header once more", again)
    return Table(sheet.place, columns, tuple(row for row in below if row.number not in again))


def report_unread(table: Table, words: Vocabulary, what: str, findings: Findings) -> None:
    """Say of each column from which nothing is read why: only the first of each meaning is."""
    for column in table.columns:
        if not column.meaning or column != table.column(column.meaning):
            if column.meaning:
                findings.note("left out", "another column serves for this", column=column.shown)
            elif any(table.values(column)):
                known = ", ".join(words.words)
                message = f"this column is not known in a table of {what}"
                findings.trouble(message, f"use one of {known}, or take the column out", column=column.shown)
            elif column.header:
                findings.note("left out", f"not known in a table of {what}, and empty", column=column.shown)


def _header(sheet: Sheet, vocabulary: Vocabulary, needed: tuple[str, ...]) -> Row | None:
    candidates = sheet.rows[:SEARCHED_ROWS]
    exact = [row for row in candidates if vocabulary.knows_any(row.cells, needed)]
    # Title rows above can hold a word of the vocabulary too; the header is the row with most of them.
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
    # Headers in a language that is not known are still words above numbers.
    if len(first.filled) != usual or usual < 2 or any(number(cell) is not None for cell in first.cells):
        return None
    columns = ([row.cell(place) for row in below if row.cell(place)] for place in range(usual))
    numbers = any(cells and all(number(cell) is not None for cell in cells) for cells in columns)
    return first if numbers else None


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
