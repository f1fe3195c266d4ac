"""Text to rows of cells: which sign parts the cells, and what the cells hold.

The sign is the one with which the columns hold together below a header that is understood. ``csv.Sniffer`` is not used:
it takes the comma of 'Surname, First' for the delimiter.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from grouper.files.decoding import Decoded
from grouper.files.guard import unguard
from grouper.files.notes import refuse
from grouper.files.sheet import Row, Sheet
from grouper.files.tidy import without_text_formula
from grouper.model.texts import has_hidden, tidy

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_SEP_LINE = re.compile(r"\s*\"?sep=(.)\"?[ \t]*(?:\r\n|\r|\n|$)", re.IGNORECASE)
_SAMPLE_ROWS = 300
_HEADER_DEPTH = 40
_END = "\x02end of file\x03"

Known = Callable[[Sequence[str]], int]
"""How many of these cells are headers that a reader knows."""


@dataclass(frozen=True, order=True)
class _Fit:
    """How well a delimiter suits a text; the greater the better, field by field."""

    headers: int
    share: float
    overlong: int
    width: int


def read_delimited(decoded: Decoded, file: str, known: Known) -> Sheet:
    """The rows of a delimited text, numbered as a spreadsheet shows them (a ``sep=`` line is not shown).

    Raises
    ------
    InputError
        A quotation mark is opened and never closed: all students below it would vanish in one cell.
    """
    text, delimiter = _after_sep_line(decoded.text)
    delimiter = delimiter or choose_delimiter(text, known)
    raw = _parse(text, delimiter, file)
    rows = tuple(Row(number, tuple(_clean(cell) for cell in cells)) for number, cells in raw)
    remarks = (_remark_on_form(decoded, delimiter, rows), *_remark_on_hidden(raw))
    return Sheet(file, "", tuple(row for row in rows if row.filled), tuple(r for r in remarks if r))


def _after_sep_line(text: str) -> tuple[str, str]:
    match = _SEP_LINE.match(text)
    return (text[match.end() :], match[1]) if match else (text, "")


def choose_delimiter(text: str, known: Known) -> str:
    """The delimiter of a text: most known headers first, then columns that hold together."""
    return max(DELIMITERS, key=lambda delimiter: _fit(_sample(text, delimiter), known))


def _sample(text: str, delimiter: str) -> list[Row]:
    rows = []
    for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), start=1):
        rows.append(Row(number, tuple(_clean(cell) for cell in cells)))
        if number == _SAMPLE_ROWS:
            break
    return [row for row in rows if row.filled]


def _fit(rows: list[Row], known: Known) -> _Fit:
    if not rows:
        return _Fit(0, 0.0, 0, 0)
    header, headers = _likely_header(rows, known)
    below = [row for row in rows if row.number > header.number]
    width = header.width
    even = sum(len(row.cells) == len(header.cells) for row in below)
    share = even / len(below) if below and width > 1 else 0.0
    return _Fit(headers, share, -sum(row.width > len(header.cells) for row in below), width)


def _likely_header(rows: list[Row], known: Known) -> tuple[Row, int]:
    best = max(rows[:_HEADER_DEPTH], key=lambda row: known(row.cells))
    headers = known(best.cells)
    if headers:
        return best, headers
    usual = Counter(row.width for row in rows).most_common(1)[0][0]
    return next(row for row in rows if row.width == usual), 0


def _parse(text: str, delimiter: str, file: str) -> list[tuple[int, list[str]]]:
    """The cells of each row; a last line of our own shows whether a quotation mark is still open at the end."""
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(io.StringIO(f"{text}\n{_END}\n", newline=""), delimiter=delimiter))
    except csv.Error as error:
        raise _open_quote(file, len(rows) + 1) from error
    if rows[-1] != [_END]:
        raise _open_quote(file, len(rows))
    return list(enumerate(rows[:-1], start=1))


def _open_quote(file: str, row: int) -> Exception:
    return refuse(
        file,
        'a quotation mark (") is opened in this row and never closed',
        "close it, or take it out of the row, and save the file again",
        row,
    )


def _clean(cell: str) -> str:
    return tidy(unguard(without_text_formula(cell)))


def _remark_on_form(decoded: Decoded, delimiter: str, rows: tuple[Row, ...]) -> tuple[str, str, tuple[int, ...]]:
    text = f"read as {decoded.encoding.upper()}, cells parted by {DELIMITERS.get(delimiter, repr(delimiter))}"
    if not decoded.guessed:
        return ("plain", text, ())
    odd = [cell for row in rows for cell in row.cells if not cell.isascii()][:5]
    return ("understood", f"{text}; look whether these are spelled right: {'; '.join(odd)}", ())


def _remark_on_hidden(raw: list[tuple[int, list[str]]]) -> list[tuple[str, str, tuple[int, ...]]]:
    rows = tuple(number for number, cells in raw if any(has_hidden(cell) for cell in cells))
    return [("mended", "hidden characters or odd spaces taken off", rows)] if rows else []
