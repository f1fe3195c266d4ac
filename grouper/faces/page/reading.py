"""Files and lists as they come through the page, read by the readers of all commands, and looked at before they are
taken in; drafts are in memory only, and gone when the page ends.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field, replace
from pathlib import Path
from re import fullmatch, split, sub
from secrets import token_urlsafe

from grouper.errors import InputError, Trouble
from grouper.faces.page.kept import Kept
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.views.names import full_name, given_name
from grouper.faces.wording.telling import told
from grouper.files.cells import Scale, scale_of
from grouper.files.names import bare, is_heading
from grouper.files.notes import Findings
from grouper.files.opening import Given, open_file, read_sheets, roster_sheet
from grouper.files.roster import RosterReading, read_roster
from grouper.files.table import Table, find_table
from grouper.files.words.headers import NAME_FIELDS, ROSTER
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.recognise import NOBODY_SAID, Told
from grouper.words import counted

KEPT = 8


@dataclass(frozen=True)
class Draft:
    """A file as it was given: its name, its bytes, which class of it, what its columns are, and for which class file.

    ``columns`` are meanings by place, empty while the reader's own are fine; ``names`` are mended names by id;
    ``gone`` are the ids of rows that were taken out, with their names; ``left_out`` says what of a pasted list is no
    name;
    ``numbered`` where each row is a student of its own, told apart by a number although there are no ids; ``told`` is
    what the teacher said of who is who in the class that it is for; ``scale`` what ratings in words are worth, None for
    what the class that it is for remembers.
    """

    file: str
    data: bytes
    title: str = ""
    class_name: str = ""
    columns: tuple[str, ...] = ()
    names: dict[str, str] = field(default_factory=dict)
    gone: dict[str, str] = field(default_factory=dict)
    left_out: tuple[str, ...] = ()
    into: str = ""
    numbered: bool = False
    told: Told = NOBODY_SAID
    scale: str | None = None


class Drafts:
    """The last few drafts by their number."""

    def __init__(self) -> None:
        self._kept: Kept[str, Draft] = Kept(KEPT)

    def add(self, draft: Draft) -> str:
        number = token_urlsafe(8)
        self._kept.put(number, draft)
        return number

    def get(self, number: str) -> Draft:
        """A draft (InputError where it is gone)."""
        draft = self._kept.get(number)
        if draft is None:
            raise InputError("this roster is no longer in memory; choose the file again")
        return draft

    def put(self, number: str, draft: Draft) -> None:
        self.get(number)
        self._kept.put(number, draft)

    def drop(self, number: str) -> None:
        self._kept.take(number)


MEANINGS = {
    "name": "whole name",
    "given": "given name",
    "family": "family name",
    "student_id": "id",
    "strand": "rating",
    "size_band": "size band",
    "availability": "availability",
    "": "leave out",
}
"""What a column can be, with the word for it."""

NAMES = ("name", "given", "family")
HEADERS = {meaning: meaning for meaning in ("name", "student_id", "size_band", "availability")}
HEADERS |= {"given": "given name", "family": "family name"}
PASTED = "pasted.csv"


def handed(file: str, data: bytes) -> Given:
    """A file as the readers take it, without ever standing on the disk; its name as it may be shown."""
    return Given(sub(r"[^\w .()-]", "_", Path(file).name)[-80:].strip(" .") or "roster", data)


@dataclass(frozen=True)
class Pasted:
    """A pasted list as a table, and in words what of it was left out."""

    data: bytes
    left_out: tuple[str, ...] = ()


def pasted(text: str) -> Pasted:
    """A pasted list as a table: names line by line get a header, a table with headers stays as it is (InputError where
    there is nothing in it).
    """
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines:
        raise InputError("there is nothing in the list; paste one name a line")
    cells = [cell.strip() for cell in sub("[;\t|]", ",", lines[0]).split(",")]
    if ROSTER.knows_any(cells, NAME_FIELDS):
        return Pasted("\n".join(lines).encode())
    left_out = []
    # A line such as 'Teacher: ...' or 'Total: 28' tells something of the list.
    headings = [
        line for at, line in enumerate(lines) if (":" in line and "@" not in line) or (not at and is_heading(line))
    ]
    if len(headings) < len(lines):
        left_out += [f"'{line.strip()}', taken for a heading" for line in headings]
        lines = [line for line in lines if line not in headings]
    rows = _with_numbers(lines) or [
        [sub(r"^\s*(\d+[.)]|[-•*])\s+", "", line).replace("\t", " ")] for line in _one_a_line(lines)
    ]
    header = ["name", *(f"rating {place}" if place > 1 else "rating" for place in range(1, len(rows[0])))]
    named = [[bare(name.strip()), *numbers] for name, *numbers in rows]
    nameless = [old[0].strip() for old, new in zip(rows, named, strict=True) if not new[0]]
    left_out += [f"'{line}', an e-mail address and no name" for line in nameless]
    beside = sum(0 < len(new[0]) < len(old[0].strip()) for old, new in zip(rows, named, strict=True))
    if beside:
        left_out.append(f"e-mail addresses or numbers beside {counted(beside, 'name')}")
    out = io.StringIO()
    csv.writer(out).writerows([header, *(row for row in named if row[0])])
    return Pasted(out.getvalue().encode(), tuple(left_out))


def _one_a_line(lines: list[str]) -> list[str]:
    """Names that all stand in one line, as in the head of a mail, each in a line of its own; other lists as they are.

    One comma alone stands between family name and given name.
    """
    if len(lines) != 1:
        return lines
    (line,) = lines
    if "@" in line:
        parts = split(r"(?<=>)\s*[,;]\s*|;", line)
    else:
        parts = split(r";" if ";" in line else r",", line)
        parts = parts if ";" in line or len(parts) > 2 else lines
    return [part.strip().replace('"', "") for part in parts if part.strip()]


def _with_numbers(lines: list[str]) -> list[list[str]] | None:
    """Names with ratings beside them, as they are copied from a spreadsheet without its header; None for other lists.

    A first column that counts the rows is no rating.
    """
    for sign in ("\t", ";", ","):
        rows = [[cell.strip() for cell in line.split(sign)] for line in lines]
        if len(rows[0]) > 2 and all(row[0] == str(place) for place, row in enumerate(rows, start=1)):
            rows = [row[1:] for row in rows]
        alike = len(rows[0]) > 1 and all(len(row) == len(rows[0]) for row in rows)
        if alike and all(
            not cell or fullmatch(r"-?\d{1,4}([.,]\d{1,3})?", cell) is not None for row in rows for cell in row[1:]
        ):
            return [[row[0], *(cell.replace(",", ".") for cell in row[1:])] for row in rows]
    return None


@dataclass(frozen=True)
class GivenColumn:
    """A column of the file: its header, some of its cells, and what it is taken for."""

    header: str
    cells: tuple[str, ...]
    meaning: str


@dataclass(frozen=True)
class Look:
    """A draft as the readers understand it; ``reading`` is None where ``troubles`` stop them."""

    reading: RosterReading | None
    columns: tuple[GivenColumn, ...]
    troubles: tuple[Trouble, ...] = ()
    message: str = ""


def look_at(draft: Draft, before: ClassRecord | None = None) -> Look:
    """Read a draft, with its columns and names as the teacher has mended them."""
    look = _look_at(draft, before)
    if look.reading is not None or draft.numbered or draft.file != PASTED:
        return look
    # Who pastes names has no ids: a name that stands there twice is shown twice, to be told apart or taken out.
    numbered = _look_at(replace(draft, numbered=True), before)
    return numbered if numbered.reading is not None else look


def _look_at(draft: Draft, before: ClassRecord | None) -> Look:
    table = _table(draft)
    columns = []
    for place, column in enumerate(table.columns if table else ()):
        meaning = draft.columns[place] if place < len(draft.columns) else column.meaning
        cells = tuple(cell for cell in table.values(column) if cell) if table else ()
        columns.append(GivenColumn(column.shown, cells[:3], meaning))
    try:
        given = handed(draft.file, draft.data)
        if table is not None and (draft.columns or draft.numbered):
            given = handed(f"{Path(draft.file).stem}.csv", _rewritten(table, draft))
        reading = read_roster(given, draft.class_name, before.roster if before else None, scale_for(draft, before))
    except InputError as error:
        return Look(None, tuple(columns), error.troubles, told(error.said, BUTTONS))
    if not draft.columns:
        columns = [replace(column, meaning=_as_read(column, reading)) for column in columns]
    # Without the rows that were taken out, and with names as they were typed.
    kept = (student for student in reading.roster.students if student.id not in draft.gone)
    students = tuple(replace(s, name=draft.names[s.id]) if draft.names.get(s.id) else s for s in kept)
    reading = replace(reading, roster=replace(reading.roster, students=students))
    # Numbers that only tell the rows of this list apart are nobody's ids.
    return Look(replace(reading, ids_made=True) if draft.numbered else reading, tuple(columns))


def scale_for(draft: Draft, before: ClassRecord | None) -> Scale:
    """What ratings in words are worth: as typed, or as the class remembers (InputError where that is no scale)."""
    if draft.scale is not None:
        return scale_of(draft.scale)
    return before.settings.scale if before else ()


def _table(draft: Draft) -> Table | None:
    try:
        opened = open_file(handed(draft.file, draft.data))
        if opened.kind == "oneroster":
            return None
        sheet = roster_sheet(read_sheets(opened, ROSTER.known), draft.class_name)
        return find_table(sheet, ROSTER, NAME_FIELDS, Findings(sheet.place))
    except (InputError, IndexError):
        return None


def _rewritten(table: Table, draft: Draft) -> bytes:
    """The table with the headers that say what the teacher says, and without the columns that are left out."""
    meanings = draft.columns or tuple(column.meaning or "strand" for column in table.columns)
    kept = [(c, m) for c, m in zip(table.columns, meanings, strict=False) if m]
    header = [HEADERS.get(meaning, column.header or f"rating {column.place + 1}") for column, meaning in kept]
    rows = [[row.cell(column.place) for column, _ in kept] for row in table.rows]
    if draft.numbered and "student_id" not in meanings:
        header = [HEADERS["student_id"], *header]
        rows = [[f"s{number:02}", *row] for number, row in enumerate(rows, start=1)]
    out = io.StringIO()
    csv.writer(out).writerows([header, *rows])
    return out.getvalue().encode()


def _as_read(column: GivenColumn, reading: RosterReading) -> str:
    """What the reader made of a column, where the teacher has not said anything else."""
    if column.meaning in MEANINGS and column.meaning:
        return column.meaning
    if column.header in reading.roster.strands:
        return "strand"
    notes = [note for note in reading.notes if note.column == column.header]
    if any(note.meaning == "student_id" for note in notes):
        return "student_id"
    return "name" if any(note.kind == "understood" and note.meaning in NAMES for note in notes) else ""


def called_by(name: str, called: str) -> str:
    """A name with what somebody is called in the place of the given name, as a preferred name in a school's export.

    >>> called_by("Berg, Alexandra", "Sasha")
    'Sasha Berg'
    """
    whole = full_name(Student("new", name))
    return f"{called}{whole.removeprefix(given_name(whole))}" if called else name
