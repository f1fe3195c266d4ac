"""Which column of a roster is what: id, names, strands, and those that are left out."""

from __future__ import annotations

import re
from dataclasses import dataclass

from grouper.files.cells import RatingWords, fold, is_not_rated, whole_number
from grouper.files.names import NameColumns, holds_words, name_columns
from grouper.files.notes import Findings
from grouper.files.table import Column, Table
from grouper.files.words.headers import ROSTER, unwanted

_WHY = {
    "personal": "personal, not needed",
    "school": "no rating",
    "middle": "not needed",
    "list_number": "the place in the list, not an id",
    "empty": "empty",
    "nameless": "no header",
    "call": "looks like phone numbers or ids",
    "words": "not numbers",
    "few words": "words; if they are ratings, say once what each is worth, such as weak=1, fair=2, good=4",
    "times": "not numbers; give times in seconds to use them",
    "grade": "the same for all, so no rating",
    "second": "another column serves for this",
}
_CALL_NUMBER = re.compile(r"[+(]?\d[\d ()/.-]*")
_TIME = re.compile(r"\d{1,2}:\d{2}([:.,]\d+)?")
MOST_GRADES = 7
"""A column of words with no more than so many different ones may hold ratings."""

_YEAR_LEVELS = frozenset({"grade", "grado", "grad"})


@dataclass(frozen=True)
class Identity:
    """The columns that tell who a row is about; ``wordy`` where most names hold a letter, so that all should."""

    id: Column | None
    names: NameColumns
    wordy: bool = True


@dataclass(frozen=True)
class Measures:
    """The strands by name, the columns of size band and availability, and the others with why they are left out."""

    strands: tuple[tuple[str, Column], ...]
    size_band: Column | None
    availability: Column | None
    left_out: tuple[str, ...]


def identity_of(table: Table, findings: Findings) -> Identity:
    """The columns of ids and names; ``findings`` gets a trouble where nothing can be a name."""
    names = name_columns(table, findings)
    if not names.used:
        names = _guessed_name(table, findings)
    wordy = not names.used or any(holds_words(table, column) for column in names.used)
    candidates = [column for column in table.columns_of("student_id") if any(table.values(column))]
    candidates += [c for c in table.columns_of("name") if c not in names.used and any(table.values(c))]
    for column in table.columns_of("list_number"):
        # A number before each name is an id unless it only counts the rows: then it changes with the next newcomer.
        cells = [cell for cell in table.values(column) if cell]
        counts = [whole_number(cell) for cell in cells] == list(range(1, len(cells) + 1))
        candidates += [column] if len(set(cells)) == len(cells) == len(table.rows) and not counts else []
    return Identity(candidates[0] if candidates else None, names, wordy)


def _guessed_name(table: Table, findings: Findings) -> NameColumns:
    """The only column of words under headers in no known language."""
    unknown = [c for c in table.columns if not c.meaning and c.header and not unwanted(c.header)]
    words = [column for column in unknown if holds_words(table, column)]
    if len(words) == 1:
        text = "taken for the name: the only column of words"
        findings.note("understood", text, column=words[0].header, meaning="name")
        return NameColumns(words[0])
    headers = ", ".join(column.shown for column in table.columns)
    findings.trouble(f"no column holds names; the columns are {headers}", "call the column of the names 'name'")
    return NameColumns()



def measures_of(table: Table, identity: Identity, words: RatingWords, findings: Findings) -> Measures:
    """What the other columns hold; each column that is left out gets a note."""
    taken = {*identity.names.used, identity.id}
    size_band, availability = table.column("size_band"), table.column("availability")
    strands: list[tuple[str, Column]] = []
    left_out: list[str] = []
    for column in table.columns:
        if column in taken or column in (size_band, availability):
            continue
        why = _why_not(table, column, words)
        if not why:
            names = {name.casefold() for name, _column in strands}
            name, number_ = column.header, 2
            while name.casefold() in names:
                name, number_ = f"{column.header} {number_}", number_ + 1
            if name != column.header:
                text = f"two columns have this header; the second is called '{name}'"
                findings.note("mended", text, column=column.header)
            strands.append((name, column))
        elif column.header or any(table.values(column)):
            findings.note("left out", _WHY[why], column=column.shown, summed_up=True)
            left_out.append(f"{column.shown} ({_WHY[why]})")
    return Measures(tuple(strands), size_band, availability, tuple(left_out))


def _why_not(table: Table, column: Column, words: RatingWords) -> str:
    """Why a column is no strand: a key of _WHY; empty for a strand."""
    plain = ROSTER.meaning(column.header)
    if plain in ("middle", "list_number"):
        return plain
    if not plain and unwanted(column.header):
        return unwanted(column.header)
    if plain and not any(table.values(column)):
        return "empty"
    if plain or (column.meaning and holds_words(table, column)):
        return "second"
    cells = [cell for cell in table.values(column) if not is_not_rated(cell)]
    if not cells:
        return "empty"
    # Ratings in words are a few words, each of them several times.
    different = {fold(cell) for cell in cells}
    are_few = 2 <= len(different) <= MOST_GRADES and 2 * len(different) <= len(cells)
    checks = (
        ("nameless", not column.header),
        ("call", 2 * sum(map(_is_call_number, cells)) > len(cells)),
        ("times", 2 * sum(bool(_TIME.fullmatch(cell)) for cell in cells) > len(cells)),
        ("few words", not words.are_ratings(cells) and are_few),
        ("words", not words.are_ratings(cells)),
        ("grade", fold(column.header) in _YEAR_LEVELS and len(cells) > 1 and len(set(cells)) == 1),
    )
    return next((why for why, holds in checks if holds), "")


def _is_call_number(cell: str) -> bool:
    """Seven digits or more without a fraction, or five and more with a leading zero: nobody rates like that."""
    digits = [sign for sign in cell if sign.isdigit()]
    if not _CALL_NUMBER.fullmatch(cell) or "." in cell:
        return False
    return len(digits) >= 7 or (len(digits) >= 5 and cell[0] in "0+")
