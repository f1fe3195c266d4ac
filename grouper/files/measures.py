"""Reading the results of a test: who, and one number or two of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.errors import InputError, require
from grouper.files.cells import is_not_rated, number
from grouper.files.names import NameColumns, name_columns
from grouper.files.notes import Findings, Note
from grouper.files.opening import Source, table_in
from grouper.files.table import Column, Row, Sheet, Table
from grouper.files.words.headers import MEASURES, WHO
from grouper.model.roster import Roster
from grouper.words import filled


@dataclass(frozen=True)
class Measure:
    """What was measured of a student (id), in the order asked for, and the row where it stands."""

    student: str
    numbers: tuple[float, ...]
    row: int


@dataclass(frozen=True)
class MeasuresReading:
    """The measures as read, the file, the notes on how, and a summary in one line."""

    measures: tuple[Measure, ...]
    file: str
    notes: tuple[Note, ...]
    summary: str


def read_measures(path: Source, roster: Roster, wanted: tuple[str, ...]) -> MeasuresReading:
    """The results of a test in a CSV file or in the first sheet of a workbook that holds them.

    Parameters
    ----------
    path
        A table with a row a student: by id, or by a name that is unique in the class, and the columns wanted. A student
        without numbers was not measured.
    roster
        The class.
    wanted
        ``("value",)``, or ``("stage", "age")``; where there is no column of values the only column of numbers is taken.

    Raises
    ------
    InputError
        With all troubles of the table, each with its row, column and remedy.
    """
    none = "there are no rows in it", "fill it in, or export it again"
    table, findings = table_in(path, MEASURES, WHO, _best, none)
    columns = _columns(table, wanted, findings)
    names = name_columns(table, findings)
    for column in table.columns:
        used = column in columns or column in names.used or column.meaning == "student_id"
        if not used and (column.header or any(table.values(column))):
            why = "personal, not needed" if column.meaning == "age" else "not needed"
            findings.note("left out", why, column=column.shown)
    if not names.used and not table.column("student_id"):
        findings.trouble("no column tells who the numbers are of", "call one 'student': ids, or names of the roster")
    findings.stop_if_troubled()
    measures = tuple(_measures(table, columns, names, roster, findings))
    findings.stop_if_troubled()
    return MeasuresReading(measures, table.place, findings.notes, f"{len(measures)} students measured")


def _best(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet with the most headers that are known; the first of several."""
    return max(sheets, key=lambda sheet: max((MEASURES.known(r.cells) for r in sheet.rows), default=0), default=None)


def _columns(table: Table, wanted: tuple[str, ...], findings: Findings) -> list[Column]:
    """A column for each meaning that is wanted; a missing one is a trouble."""
    found = [table.column(meaning) or _only_numbers(table, meaning, findings) for meaning in wanted]
    for meaning, column in zip(wanted, found, strict=True):
        if column is None:
            have = ", ".join(column.shown for column in table.columns)
            findings.trouble(f"there is no column '{meaning}'; the columns are {have}", f"call one '{meaning}'")
    return [column for column in found if column is not None]


def _only_numbers(table: Table, meaning: str, findings: Findings) -> Column | None:
    """The only column of numbers that has no meaning, where a value is wanted."""
    cells = {c: [cell for cell in table.values(c) if not is_not_rated(cell)] for c in table.columns if not c.meaning}
    unknown = [c for c, given in cells.items() if given and all(number(cell) is not None for cell in given)]
    if meaning != "value" or len(unknown) != 1:
        return None
    findings.note("understood", "taken for what was measured: the only column of numbers", column=unknown[0].shown)
    return unknown[0]


def _measures(
    table: Table, columns: list[Column], names: NameColumns, roster: Roster, findings: Findings
) -> Iterator[Measure]:
    seen: dict[str, int] = {}
    id_ = table.column("student_id")
    for row in table.rows:
        try:
            # By the id where there is one, else by the name.
            person = roster.find((row.cell(id_.place) if id_ else "") or names.name(row))
            require(not person.archived, "{name} has left the class", name=person.name)
            student = person.id
        except InputError as error:
            findings.trouble(error.said.sentence, filled(str(error.said.remedy), error.facts), row.number)
            student = ""
        numbers = _numbers(row, columns, findings)
        if student in seen:
            findings.trouble(f"the same student as in row {seen[student]}", "keep one of the two rows", row.number)
        elif student and numbers:
            seen[student] = row.number
            yield Measure(student, numbers, row.number)


def _numbers(row: Row, columns: list[Column], findings: Findings) -> tuple[float, ...]:
    """The numbers of a row; none where it has none on purpose, or where something is wrong with them."""
    cells = [row.cell(column.place) for column in columns]
    if is_not_rated(cells[0]):
        findings.note("understood", "not measured", (row.number,))
        return ()
    values = [number(cell) for cell in cells]
    for column, cell, value in zip(columns, cells, values, strict=True):
        if value is None:
            message = f"'{cell}' is no number" if cell else "the number is missing"
            findings.trouble(message, "write a number; give times in seconds", row.number, column.shown)
    return tuple(value for value in values if value is not None) if None not in values else ()
