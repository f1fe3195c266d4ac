"""Files and lists as they come through the page, read by the readers of all commands."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, replace
from pathlib import Path
from re import sub

from grouper.errors import InputError, Trouble
from grouper.faces.page.drafts import Draft
from grouper.files.choosing import roster_sheet
from grouper.files.names import bare, is_heading
from grouper.files.notes import Findings
from grouper.files.opening import Given, open_file, read_sheets
from grouper.files.roster import READ_AS_ID, RosterReading, read_roster
from grouper.files.scale import Scale, scale_of
from grouper.files.table import Table, find_table
from grouper.files.words.roster import NAME_FIELDS, ROSTER
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster

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

HEADERS = {
    "name": "name",
    "given": "given name",
    "family": "family name",
    "student_id": "student_id",
    "size_band": "size_band",
    "availability": "availability",
}
PASTED = "pasted.csv"


def handed(file: str, data: bytes) -> Given:
    """A file as the readers take it, without ever standing on the disk; its name as it may be shown."""
    return Given(sub(r"[^\w .()-]", "_", Path(file).name)[-80:].strip(" .") or "roster", data)


def pasted(text: str) -> bytes:
    """A pasted list as a table: names line by line get a header, a table with headers stays as it is."""
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines:
        raise InputError("there is nothing in the list; paste one name a line")
    cells = [cell.strip() for cell in sub("[;\t|]", ",", lines[0]).split(",")]
    if ROSTER.knows_any(cells, NAME_FIELDS):
        return "\n".join(lines).encode()
    out = io.StringIO()
    names = [sub(r"^\s*(\d+[.)]|[-•*])\s+", "", line).replace("\t", " ").strip() for line in lines]
    headings = names[:1] if len(names) > 1 and is_heading(names[0]) else []
    # A heading goes above the header, where the reader tells of it and reads nobody from it.
    csv.writer(out).writerows([[name] for name in (*headings, "name", *filter(bare, names[len(headings) :]))])
    return out.getvalue().encode()


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
    table = _table(draft)
    columns = _columns(table, draft) if table else ()
    try:
        reading = _reading(draft, table, before.roster if before else None, scale_for(draft, before))
    except InputError as error:
        return Look(None, columns, error.troubles, str(error))
    return Look(_with_names(reading, draft), _as_read(columns, reading, draft), ())


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


def _columns(table: Table, draft: Draft) -> tuple[GivenColumn, ...]:
    return tuple(
        GivenColumn(
            column.shown,
            tuple(cell for cell in table.values(column) if cell)[:3],
            draft.columns[place] if place < len(draft.columns) else column.meaning,
        )
        for place, column in enumerate(table.columns)
    )


def _as_read(columns: tuple[GivenColumn, ...], reading: RosterReading, draft: Draft) -> tuple[GivenColumn, ...]:
    """What the reader made of each column, where the teacher has not said anything else."""
    if draft.columns:
        return columns
    strands = set(reading.roster.strands)
    names = {note.column for note in reading.notes if note.kind == "understood" and "name" in note.text}
    ids = {note.column for note in reading.notes if note.text == READ_AS_ID}
    return tuple(replace(column, meaning=_meaning(column, strands, names, ids)) for column in columns)


def _meaning(column: GivenColumn, strands: set[str], names: set[str], ids: set[str]) -> str:
    if column.meaning in MEANINGS and column.meaning:
        return column.meaning
    if column.header in strands:
        return "strand"
    return "student_id" if column.header in ids else "name" if column.header in names else ""


def _reading(draft: Draft, table: Table | None, before: Roster | None, scale: Scale) -> RosterReading:
    data, file = draft.data, draft.file
    if table is not None and (draft.columns or draft.numbered):
        data, file = _rewritten(table, draft), f"{Path(file).stem}.csv"
    return read_roster(handed(file, data), draft.class_name, before, scale)


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


def _with_names(reading: RosterReading, draft: Draft) -> RosterReading:
    students = tuple(
        replace(s, name=draft.names[s.id]) if draft.names.get(s.id) else s for s in reading.roster.students
    )
    return replace(reading, roster=replace(reading.roster, students=students))
