"""Reading a roster: from a file as schools export them to students and strands."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.files.cells import RatingWords, Scale, is_not_rated
from grouper.files.notes import Findings, Note, refuse
from grouper.files.opening import (
    Opened,
    Source,
    looks_like_lessons,
    looks_like_requests,
    open_file,
    read_sheets,
    roster_sheet,
)
from grouper.files.roster_columns import Identity, Measures, identity_of, measures_of
from grouper.files.roster_rows import (
    EXAMPLE_IDS,
    Entry,
    merged,
    report_nobody,
    rows_of_class,
    students_of,
    with_ids,
    with_whole_names,
)
from grouper.files.table import Column, Row, Table, Vocabulary, find_table
from grouper.files.words.headers import AVAILABILITY, NAME_FIELDS, ROSTER, SIZE_BAND
from grouper.model.roster import Roster, Student
from grouper.model.texts import MOST_PEOPLE
from grouper.words import counted

FEWEST_TO_COMPARE, FAR = 5, 2
"""With more ratings than so many, one is pointed out that lies so many times the range of the others beyond them."""

_NO_WORDS = "write a number, leave the cell empty, or say once what words are worth, as in weak=1, fair=2, good=4"


@dataclass(frozen=True)
class RosterReading:
    """A roster as read, the notes on how, and a summary in one line.

    ``ids_made`` where the file has no ids; ``columns`` says which of ``size_band`` and ``availability`` it has.
    """

    roster: Roster
    notes: tuple[Note, ...]
    summary: str
    ids_made: bool = False
    columns: frozenset[str] = frozenset()


def read_roster(path: Source, class_name: str = "", before: Roster | None = None, scale: Scale = ()) -> RosterReading:
    """The roster in a CSV or XLSX file or a OneRoster 1.1 or 1.2 zip.

    Parameters
    ----------
    path
        The file; what it is, is told by its content.
    class_name
        Which class of a OneRoster zip, which sheet of a workbook, or which rows of a file with a column of
        classes, where there are several.
    before
        The roster as it was read last. A file without ids gives students whose names are known the ids that they have.
    scale
        What words of ratings are worth.

    Raises
    ------
    InputError
        With all troubles of the file, each with its row, column and remedy.
    """
    opened = open_file(path)
    # Loaded only where there is one: most schools hand out a spreadsheet.
    if opened.kind == "oneroster":
        from grouper.files.oneroster import read_oneroster

        findings = Findings(opened.file)
        entries, left_out = read_oneroster(opened, class_name, findings)
        return _reading(entries, (), left_out, before, findings)
    return _read_sheet(opened, class_name, before, RatingWords(scale))


def _read_sheet(opened: Opened, class_name: str, before: Roster | None, words: RatingWords) -> RosterReading:
    sheets = read_sheets(opened, ROSTER.known)
    if not sheets:
        raise refuse(opened.file, "there are no rows in it", "fill it in, or export it again")
    sheet = roster_sheet(sheets, class_name)
    findings = Findings(sheet.place)
    for other in sheets:
        if other is not sheet and not looks_like_lessons(other) and not looks_like_requests(other):
            findings.note("left out", f"the sheet '{other.title}' is not read for the roster")
    table = with_whole_names(find_table(sheet, ROSTER, NAME_FIELDS, findings), findings)
    if not class_name or sheet.title.casefold() != class_name.casefold():
        table = rows_of_class(table, class_name, findings)
    identity = identity_of(table, findings)
    if not identity.names.used:
        raise findings.error()
    students, nobody = students_of(table, identity, findings)
    measures = measures_of(students, identity, words, findings)
    report_nobody(nobody, measures, findings)
    entries = _entries(students, identity, measures, words, findings)
    strands = tuple(strand for strand, _column in measures.strands)
    has = {"size_band": measures.size_band, "availability": measures.availability}
    columns = frozenset(what for what, column in has.items() if column)
    return replace(_reading(entries, strands, measures.left_out, before, findings), columns=columns)


def _entries(
    table: Table, identity: Identity, measures: Measures, words: RatingWords, findings: Findings
) -> list[Entry]:
    for column in identity.names.used:
        findings.note("plain", "read as the name", column=column.shown, meaning="name")
    if identity.id:
        findings.note("plain", "read as the student's id", column=identity.id.shown, meaning="student_id")
    for what, column_ in (("size band", measures.size_band), ("availability", measures.availability)):
        if column_:
            findings.note("plain", f"read as the {what}", column=column_.shown)
    for strand, column in measures.strands:
        findings.note("plain", f"read as the rating '{strand}'", column=column.shown)
    rows = tuple(row.number for row in table.rows if identity.names.written(row) != identity.names.name(row))
    if rows:
        findings.note("left out", "an e-mail address or a number beside the name", rows)
    unrated = {
        strand: tuple(row.number for row in table.rows if is_not_rated(row.cell(column.place)))
        for strand, column in measures.strands
    }
    for strand, rows in unrated.items():
        if rows:
            findings.note("understood", "not rated", rows, strand)
    entries = [_entry(row, identity, measures, words, findings) for row in table.rows]
    examples = [entry for entry in entries if entry.id in EXAMPLE_IDS]
    if not examples or len(examples) == len(entries):
        return entries
    findings.note("left out", "the example of the template", tuple(entry.row for entry in examples))
    return [entry for entry in entries if entry not in examples]


def _entry(row: Row, identity: Identity, measures: Measures, words: RatingWords, findings: Findings) -> Entry:
    ratings = {strand: _rating(row, column, words, findings) for strand, column in measures.strands}
    availability = _word(row, measures.availability, AVAILABILITY, "aside, away or nothing", findings)
    return Entry(
        row.number,
        row.cell(identity.id.place) if identity.id else "",
        identity.names.name(row),
        {strand: value for strand, value in ratings.items() if value is not None},
        _word(row, measures.size_band, SIZE_BAND, "S, M, L or nothing", findings),
        "" if availability == "takes part" else availability,
    )


def _rating(row: Row, column: Column, words: RatingWords, findings: Findings) -> float | None:
    cell = row.cell(column.place)
    if is_not_rated(cell):
        return None
    value = words.worth(cell)
    if value is None:
        message = f"'{cell}' is {'no number and not on the scale' if words.known else 'no number'}"
        way = f"write a number or a word of the scale ({words.known})" if words.known else _NO_WORDS
        findings.trouble(message, way, row.number, column.header)
    return value


def _word(row: Row, column: Column | None, words: Vocabulary, allowed: str, findings: Findings) -> str:
    """The meaning of a cell; the word itself goes nowhere, as it may tell of an illness or a weight."""
    cell = row.cell(column.place) if column else ""
    meaning = words.meaning(cell)
    if column and cell and not meaning and not is_not_rated(cell):
        findings.trouble("the word in this cell is not known", f"use {allowed}", row.number, column.header)
    return meaning


def _reading(
    entries: list[Entry], strands: tuple[str, ...], left_out: tuple[str, ...], before: Roster | None, findings: Findings
) -> RosterReading:
    ids_made = bool(entries) and not any(entry.id for entry in entries)
    if ids_made:
        entries = with_ids(entries, before, findings)
    entries, same = merged(entries, findings)
    if not entries and not findings.troubled:
        findings.trouble("there are no students in it", "put each student in a row below the headers")
    findings.stop_if_troubled()
    if len(entries) > MOST_PEOPLE:
        raise refuse(findings.file, f"{len(entries):,} students are more than {MOST_PEOPLE:,}", "give one class alone")
    students = [_student(entry, findings) for entry in entries]
    findings.stop_if_troubled()
    roster = Roster(tuple(student for student in students if student), strands)
    _report_namesakes(roster, findings)
    _report_far_ratings(entries, strands, findings)
    parts = [counted(len(roster.students), "student"), f"ratings: {', '.join(roster.strands) or 'none'}"]
    if same:
        parts.append(f"{counted(same, 'row')} {'was' if same == 1 else 'were'} the same student as another row")
    if left_out:
        parts.append(f"columns left out: {', '.join(left_out)}")
    return RosterReading(roster, findings.notes, "; ".join(parts), ids_made)


def _student(entry: Entry, findings: Findings) -> Student | None:
    """The student of a row; what no student can be called or rated is a trouble of the row."""
    try:
        return Student(entry.id, entry.name, dict(entry.ratings), entry.size_band, entry.availability)
    except InputError as error:
        findings.trouble(error.said.sentence, error.said.remedy, entry.row)
        return None


def _report_namesakes(roster: Roster, findings: Findings) -> None:
    ids: dict[str, list[str]] = {}
    for student in roster.students:
        ids.setdefault(student.name.casefold(), []).append(student.id)
    for same in ids.values():
        if len(same) > 1:
            name = roster.by_id[same[0]].name
            findings.note("understood", f"{len(same)} students are called {name}: {', '.join(same)}")


def _report_far_ratings(entries: list[Entry], strands: tuple[str, ...], findings: Findings) -> None:
    """Ratings so far from all others that a decimal sign may be lost, as in 35 for 3.5."""
    for strand in strands:
        rated = [(entry.row, dict(entry.ratings)[strand]) for entry in entries if strand in entry.ratings]
        for row, rating in rated if len(rated) > FEWEST_TO_COMPARE else ():
            others = [other for at, other in rated if at != row]
            low, high = min(others), max(others)
            if high > low and not low - FAR * (high - low) <= rating <= high + FAR * (high - low):
                text = f"{rating:g} is far from all others, {low:g} to {high:g}; put it right if it is a slip"
                findings.note("understood", text, (row,), strand)
