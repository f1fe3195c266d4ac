"""Names as people say them: given name first, from whatever columns a school keeps them in."""

from __future__ import annotations

import re
from dataclasses import dataclass

from grouper.files.cells import fold
from grouper.files.notes import Findings
from grouper.files.table import Column, Row, Table, word_set
from grouper.model.roster import Roster, Student

_ENDINGS = frozenset({"jr", "sr", "ii", "iii", "iv", "junior", "senior"})
_COMMAS = ",、،，"


def given_name_first(text: str) -> str:
    """'Surname, First' as 'First Surname'; every other name as it stands.

    Examples
    --------
    >>> given_name_first("De Luca, Anna Maria"), given_name_first("Li Wei"), given_name_first("Stone, Sam, Jr.")
    ('Anna Maria De Luca', 'Li Wei', 'Sam Stone Jr.')
    """
    comma = next((sign for sign in _COMMAS if sign in text), "")
    parts = [part.strip() for part in text.split(comma)] if comma else [text]
    parts = [part for part in parts if part]
    if len(parts) == 2 and fold(parts[1]) not in _ENDINGS:
        return f"{parts[1]} {parts[0]}"
    if len(parts) == 3 and fold(parts[2]) in _ENDINGS:
        return f"{parts[1]} {parts[0]} {parts[2]}"
    return text if len(parts) > 1 else "".join(parts)


_EMAIL = re.compile(
    r"[<(\[]?\s{0,9}(?:mailto:)?[^\s<>()\[\],;@]{1,64}@[^\s<>()\[\],;@]{1,255}\.[^\W\d_]{2,63}\s{0,9}[>)\]]?"
)
"""Its parts are as long as they may be (RFC 5321, 4.5.3.1): a very long word is gone through once."""
_NUMBER_OF_SOMEBODY = re.compile(
    r"[(\[#]\s*[A-Za-z]{0,3}[-.]?\d{3,}\s*[)\]]?|(?<!\w)[A-Za-z]{0,2}\d{5,}(?!\w)|(?<!\w)[A-Za-z]\d{4}(?!\w)"
)
_HEADING_WORDS = word_set("headings")
_CLASS_CODE = re.compile(r"\d{1,2}\s?[a-z]?\d?|[a-z]")


def bare(name: str) -> str:
    """A name without an e-mail address or a number that stands beside it; a number alone stays, as it is the name.

    Examples
    --------
    >>> bare("Kim Lee <kim@school.example>"), bare("1234567 Jo Park"), bare("Jo Park (123)"), bare("jo@school.example")
    ('Kim Lee', 'Jo Park', 'Jo Park', '')
    >>> bare("Pupil 07"), bare("1234567")
    ('Pupil 07', '1234567')
    """
    without = _EMAIL.sub(" ", name)
    plain = _NUMBER_OF_SOMEBODY.sub(" ", without)
    if plain == name:
        return name
    return " ".join(plain.split()).strip(" ,;-|") or ("" if without != name else name)


def is_heading(line: str) -> bool:
    """Whether a line above names is a heading: 'Class 7b', '7b', 'Year 8:', and not somebody's name.

    Examples
    --------
    >>> [is_heading(line) for line in ("Klasse 7b", "10 A", "PE group:", "Klas Berg", "Anna List", "Kim")]
    [True, True, True, False, False, False]
    """
    words = fold(line.casefold()).split()
    telling = [word for word in words if word in _HEADING_WORDS]
    coded = all(word in _HEADING_WORDS or _CLASS_CODE.fullmatch(word) for word in words)
    return line.rstrip().endswith(":") or (coded and (bool(telling) or any(word[0].isdigit() for word in words)))


def students_named(roster: Roster, text: str) -> tuple[Student, ...]:
    """Who of the class may be meant by a name: whole, in either order, without accents, or by the given name alone.

    The nearest reading that fits anybody counts; more than one fits where two have that name.

    Examples
    --------
    >>> roster = Roster((Student("1", "Zoë Ann Müller"), Student("2", "Zoe Ito")))
    >>> [student.id for student in students_named(roster, "MULLER, Zoe Ann")]
    ['1']
    >>> [student.id for student in students_named(roster, "zoe")]
    ['1', '2']
    """
    wanted = _folded(text)
    words = sorted(wanted.split())
    there = [student for student in roster.students if not student.archived]
    for fits in (
        lambda name: name == wanted,
        lambda name: sorted(name.split()) == words,
        lambda name: name.split()[:1] == [wanted],
    ):
        found = tuple(student for student in there if wanted and fits(_folded(given_name_first(student.name))))
        if found:
            return found
    return ()


def _folded(name: str) -> str:
    return fold(name.casefold())


@dataclass(frozen=True)
class NameColumns:
    """The columns that a name is put together from; None for those that are not there."""

    full: Column | None = None
    given: Column | None = None
    family: Column | None = None
    second_family: Column | None = None
    preferred: Column | None = None
    preferred_family: Column | None = None

    @property
    def used(self) -> tuple[Column, ...]:
        """The columns that are there."""
        columns = (self.full, self.given, self.family, self.second_family, self.preferred, self.preferred_family)
        return tuple(column for column in columns if column is not None)

    def name(self, row: Row) -> str:
        """The name of the student in a row, the preferred name first and bare; empty where there is none."""
        return bare(self.written(row))

    def written(self, row: Row) -> str:
        """The name as it stands there, with whatever was pasted along with it."""
        full = given_name_first(_cell(row, self.full))
        family = _cell(row, self.preferred_family) or _joined(_cell(row, self.family), _cell(row, self.second_family))
        preferred = _cell(row, self.preferred)
        if self.full is not None:
            words = full.split()
            if not preferred or not words:
                return full or preferred
            if " " in preferred:
                return preferred
            return f"{preferred} {words[1]}" if len(words) == 2 else full
        given = preferred if family or " " not in preferred else given_name_first(preferred)
        name = _joined(given or _cell(row, self.given), family)
        return given_name_first(name) if not (given and family) else name


def _cell(row: Row, column: Column | None) -> str:
    return row.cell(column.place) if column is not None else ""


def _joined(*parts: str) -> str:
    return " ".join(part for part in parts if part)


def name_columns(table: Table, findings: Findings) -> NameColumns:
    """Which columns make up the name.

    A column 'Name' beside one of the given name alone holds the family name, as in German and French lists, unless it
    repeats the given name; and the other way about.
    """
    # The first column of each meaning that holds words rather than numbers.
    full, given, family = (
        next((column for column in table.columns_of(meaning) if holds_words(table, column)), None)
        for meaning in ("name", "given", "family")
    )
    second, preferred, preferred_family = (
        table.column(meaning) for meaning in ("second_family", "preferred", "preferred_family")
    )
    if given and family:
        return NameColumns(None, given, family, second, preferred, preferred_family)
    part = given or family
    if full and (not part or _repeats(table, full, part)):
        return NameColumns(full, preferred=preferred)
    if full and part:
        meant = "the family name" if given else "the given name"
        text = f"taken for {meant}, as '{part.header}' is beside it"
        findings.note("understood", text, column=full.header, meaning="name")
        given, family = (given, full) if given else (full, family)
    if not given and not family and not preferred:
        return NameColumns(table.column("name"))  # numbers in place of names, in a list without names on purpose
    return NameColumns(None, given, family, second, preferred, preferred_family)


def holds_words(table: Table, column: Column) -> bool:
    """Whether at least half of the cells that are filled hold a letter; so does a column without any."""
    cells = [cell for cell in table.values(column) if cell]
    return 2 * sum(any(sign.isalpha() for sign in cell) for cell in cells) >= len(cells)


def _repeats(table: Table, full: Column, part: Column) -> bool:
    pairs = [(row.cell(full.place), row.cell(part.place)) for row in table.rows]
    both = [(name, piece) for name, piece in pairs if name and piece]
    return 2 * sum(fold(piece) in fold(name) for name, piece in both) > len(both)
