"""Text to rows of cells: how it is coded, which sign parts the cells, and what the cells hold.

The coding is that of the byte order mark, then UTF-16 without one, then strict UTF-8, then Windows-1252. The sign is
the one with which the columns hold together below a header that is understood. ``csv.Sniffer`` is not used: it takes
the comma of 'Surname, First' for the delimiter.
"""

from __future__ import annotations

import codecs
import csv
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import chain, islice

from grouper.errors import InputError
from grouper.files.cells import unguard, without_text_formula
from grouper.files.notes import LIMITS, Budget, Limits, refuse
from grouper.files.table import Row, Sheet
from grouper.model.texts import has_hidden, tidy

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SIGNS_OF_TABLES = '\n\r\t,;|" '


@dataclass(frozen=True)
class Decoded:
    """A text and the name of the encoding that it was read in; ``guessed`` where nothing in the file proves it."""

    text: str
    encoding: str
    guessed: bool = False


def decode(data: bytes, file: str) -> Decoded:
    """The text of a file.

    Raises
    ------
    InputError
        The bytes are text in none of the encodings that are tried.
    """
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            try:
                return Decoded(data.removeprefix(mark).decode(encoding), encoding)
            except UnicodeDecodeError as error:
                what = f"it says that it is {encoding.upper()} and breaks off at byte {error.start}"
                raise _damaged(file, what) from error
    if b"\0" in data:
        wide = _wide_without_mark(data)
        if wide is not None:
            return wide
    return _narrow(data, file)


def _wide_without_mark(data: bytes) -> Decoded | None:
    """UTF-16 in the byte order that gives more of the signs that every table has; None where neither does."""
    if len(data) % 2:
        return None
    candidates = []
    for encoding in ("utf-16-le", "utf-16-be"):
        with suppress(UnicodeDecodeError):
            text = data.decode(encoding)
            if "\0" not in text:
                candidates.append((sum(map(text.count, _SIGNS_OF_TABLES)), encoding, text))
    best = max(candidates, default=None, key=lambda candidate: candidate[0])
    narrow = sum(data.count(sign.encode()) for sign in _SIGNS_OF_TABLES)
    # Wide text has the signs at half of its bytes' places; narrow text with a NUL in it has next to none of them.
    return Decoded(best[2], best[1]) if best and 0 < narrow < 2 * best[0] else None


def _narrow(data: bytes, file: str) -> Decoded:
    try:
        return Decoded(data.decode("utf-8"), "utf-8")
    except UnicodeDecodeError:
        pass
    try:
        # Nearly every byte is a letter there, so that nothing in the file can speak against it.
        return Decoded(data.decode("windows-1252"), "windows-1252", guessed=True)
    except UnicodeDecodeError as error:
        raise _damaged(file, f"byte {error.start} is no letter in UTF-8, UTF-16 or Windows-1252") from error


def _damaged(file: str, what: str) -> Exception:
    return refuse(file, f"this is no text that can be read: {what}", "save it again as CSV UTF-8 or as XLSX")


DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_SEP_LINE = re.compile(r"\s*\"?sep=(.)\"?[ \t]*(?:\r\n|\r|\n|$)", re.IGNORECASE)
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_SAMPLE = 200_000
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


def read_delimited(decoded: Decoded, file: str, known: Known, most: Limits = LIMITS) -> Sheet:
    """The rows of a delimited text, numbered as a spreadsheet shows them (a ``sep=`` line is not shown).

    Raises
    ------
    InputError
        A quotation mark is opened and never closed: all students below it would vanish in one cell. Or there is more
        in it than in any table.
    """
    match = _SEP_LINE.match(decoded.text)
    text = decoded.text[match.end() :] if match else decoded.text
    # Most known headers first, then columns that hold together.
    delimiter = match[1] if match else max(DELIMITERS, key=lambda sign: _fit(_sample(text, sign, file), known))
    rows, hidden = [], []
    for number, cells in _filled(text, delimiter, Budget(file, most)):
        rows.append(Row(number, tuple(map(_clean, cells))))
        if any(map(has_hidden, cells)):
            hidden.append(number)
    form = f"read as {decoded.encoding.upper()}, cells separated by {DELIMITERS.get(delimiter, repr(delimiter))}"
    remarks: list[tuple[str, str, tuple[int, ...]]] = [("plain", form, ())]
    if decoded.guessed:
        odd = islice((cell for row in rows for cell in row.cells if not cell.isascii()), 5)
        remarks = [("understood", f"{form}; look whether these are spelled right: {'; '.join(odd)}", ())]
    if hidden:
        remarks.append(("mended", "hidden characters or odd spaces taken off", tuple(hidden)))
    return Sheet(file, "", tuple(row for row in rows if row.filled), tuple(remarks))


def _filled(text: str, delimiter: str, budget: Budget) -> Iterator[tuple[int, list[str]]]:
    """The rows with something in them; those of empty cells alone, perhaps a million, are only counted."""
    for number, cells in _parsed(text, delimiter, budget):
        if not any(cells):
            continue
        width = filled = 0
        for place, cell in enumerate(cells, start=1):
            if cell and not cell.isspace():
                width, filled = place, filled + 1
                budget.check_letters(len(cell), number)
        if filled:
            budget.check_row(number, width, filled)
            yield number, cells[: max(width, budget.most.columns)]


def _sample(text: str, delimiter: str, file: str) -> list[Row]:
    """The first rows, up to where they are no table with this delimiter."""
    rows = []
    try:
        for number, cells in islice(_filled(text[:_SAMPLE], delimiter, Budget(file)), _SAMPLE_ROWS):
            rows.append(Row(number, tuple(map(_clean, cells))))
    except InputError:
        pass  # Whatever stops the reading is told when the table is read with the delimiter that suits best.
    return [row for row in rows if row.filled]


def _fit(rows: list[Row], known: Known) -> _Fit:
    if not rows:
        return _Fit(0, 0.0, 0, 0)
    header = max(rows[:_HEADER_DEPTH], key=lambda row: known(row.cells))
    headers = known(header.cells)
    if not headers:
        usual = Counter(row.width for row in rows).most_common(1)[0][0]
        header = next(row for row in rows if row.width == usual)
    below = [row for row in rows if row.number > header.number]
    width = header.width
    # A wrong sign cuts some rows and not others; the right one cuts all of them as often as the header.
    even = sum(len(row.cells) == len(header.cells) for row in below)
    share = even / len(below) if below and width > 1 else 0.0
    return _Fit(headers, share, -sum(row.width > len(header.cells) for row in below), width)


def _parsed(text: str, delimiter: str, budget: Budget) -> Iterator[tuple[int, list[str]]]:
    """The cells of each row; a last line of our own shows whether a quotation mark is still open at the end."""
    number, cells = 0, [""]
    reader = csv.reader(chain(_lines(text, budget), ("\n", f"{_END}\n")), delimiter=delimiter)
    try:
        for number, cells in enumerate(reader, start=1):
            if cells != [_END]:
                yield number, cells
    except csv.Error as error:
        raise _open_quote(budget.file, number + 1) from error
    if cells != [_END]:
        raise _open_quote(budget.file, number)


def _lines(text: str, budget: Budget) -> Iterator[str]:
    """The lines with their ends, one at a time: a copy of the text for each delimiter that is tried would be large."""
    budget.check_line(max(text.count("\n"), text.count("\r")))
    for number, line in enumerate(_LINE.finditer(text), start=1):
        budget.check_line(number, line.end() - line.start())
        yield line[0]


def _open_quote(file: str, row: int) -> Exception:
    return refuse(
        file,
        'a quotation mark (") is opened in this row and never closed',
        "close it, or take it out of the row, and save the file again",
        row,
    )


def _clean(cell: str) -> str:
    return tidy(unguard(without_text_formula(cell)))
