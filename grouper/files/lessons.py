"""Reading the table of lessons: a row an activity."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from grouper.errors import InputError
from grouper.files.activities import ActivityReader
from grouper.files.choosing import lessons_sheet
from grouper.files.dates import read_dates
from grouper.files.notes import Findings, Note, refuse
from grouper.files.numbers import whole_number
from grouper.files.opening import Source, open_file, read_sheets
from grouper.files.sheet import Row
from grouper.files.table import Column, Table, find_table, refuse_or_leave_out
from grouper.files.words.lessons import LESSONS
from grouper.model.roster import Roster
from grouper.model.unit import Activity, Lesson, Unit
from grouper.words import Remedy

_NUMBER_IN_TEXT = re.compile(r"\D*?(\d{1,9})\D*")
_LAST_LESSON = 500


@dataclass(frozen=True)
class LessonsReading:
    """A unit as read, the notes on how, and a summary in one line."""

    unit: Unit
    notes: tuple[Note, ...]
    summary: str


@dataclass(frozen=True)
class _Line:
    """One row: its number, its lesson, the activity and the lesson's date as it stands there."""

    row: int
    lesson: int
    activity: Activity
    date: str


def read_lessons(path: Source, roster: Roster) -> LessonsReading:
    """The unit in a CSV file or in a sheet of an XLSX workbook; strands are those of the roster.

    Raises
    ------
    InputError
        With all troubles of the table, each with its row, column and remedy.
    """
    opened = open_file(path)
    sheet = lessons_sheet(read_sheets(opened, LESSONS.known))
    if sheet is None:
        raise refuse(opened.file, "no sheet holds lessons", "name one 'lessons', with the headers of the template")
    findings = Findings(sheet.place)
    table = find_table(sheet, LESSONS, ("activity",), findings)
    _report_columns(table, findings)
    findings.stop_if_troubled()
    lines = _lines(table, roster, findings)
    findings.stop_if_troubled()
    unit = _unit(lines, findings)
    findings.stop_if_troubled()
    return LessonsReading(unit, findings.notes, _summary(unit))


def _report_columns(table: Table, findings: Findings) -> None:
    seen: set[str] = set()
    for column in table.columns:
        if column.meaning and column.meaning not in seen:
            seen.add(column.meaning)
        else:
            refuse_or_leave_out(column, table, LESSONS, "lessons", findings)
    for needed in ("lesson", "activity"):
        if needed not in seen:
            findings.trouble(f"there is no column '{needed}'", Remedy.SEE_TEMPLATE)


def _lines(table: Table, roster: Roster, findings: Findings) -> list[_Line]:
    dates = _dates(table, findings)
    reader = ActivityReader(table, roster, findings)
    lines: list[_Line] = []
    lesson: int | None = None
    taken_from_above: list[int] = []
    for row in table.rows:
        own = _lesson(row, table.column("lesson"), findings, first=lesson is None)
        if own is None and lesson is not None:
            taken_from_above.append(row.number)
        lesson = own if own is not None else lesson
        activity = reader.activity(row)
        if activity is not None and lesson is not None:
            lines.append(_Line(row.number, lesson, activity, dates.get(row.number, "")))
    if taken_from_above:
        findings.note("understood", "no lesson number: the lesson of the row above", tuple(taken_from_above))
    if not table.rows:
        findings.trouble("there are no lessons in it", "put each activity in a row below the headers")
    return lines


def _lesson(row: Row, column: Column | None, findings: Findings, *, first: bool) -> int | None:
    """The lesson of a row; None where it is the one of the row above."""
    text = row.cell(column.place) if column else ""
    if not text and not first:
        return None
    number = whole_number(text)
    match = _NUMBER_IN_TEXT.fullmatch(text) if number is None and "," not in text and "." not in text else None
    number = int(match[1]) if match else number
    if number is None or not 1 <= number <= _LAST_LESSON:
        findings.trouble(f"'{text}' is no lesson number", "write 1, 2, 3 and so on", row.number, _shown(column))
        return None
    return number


def _shown(column: Column | None) -> str:
    return column.shown if column else ""


def _dates(table: Table, findings: Findings) -> dict[int, str]:
    """The dates by row number; empty cells are not there."""
    column = table.column("date")
    if column is None:
        return {}
    cells = {row.number: row.cell(column.place) for row in table.rows if row.cell(column.place)}
    dates, either_way = read_dates(list(cells.values()))
    for (row, text), date in zip(cells.items(), dates, strict=True):
        if date is None:
            findings.trouble(f"'{text}' is no date", "write it like 2025-03-14, or leave it out", row, column.header)
    if either_way:
        example = next((t, d) for t, d in zip(cells.values(), dates, strict=True) if d and t != d)
        findings.note("understood", f"the day stands first: {example[0]} is {example[1]}", column=column.header)
    return {row: date for row, date in zip(cells, dates, strict=True) if date}


def _unit(lines: list[_Line], findings: Findings) -> Unit:
    by_lesson: dict[int, list[_Line]] = {}
    for line in lines:
        by_lesson.setdefault(line.lesson, []).append(line)
    if list(by_lesson) != sorted(by_lesson):
        findings.note("mended", "the lessons are put in the order of their numbers")
    lessons = [_lesson_of(by_lesson[number], findings) for number in sorted(by_lesson)]
    first = by_lesson[min(by_lesson)][0]
    if first.activity.aim == "stay":
        findings.trouble(
            "the unit begins with the aim stay, so there are no groups to keep", "give it another aim", first.row, "aim"
        )
    _report_dates(lessons, findings)
    return Unit(tuple(lessons))


def _report_dates(lessons: list[Lesson], findings: Findings) -> None:
    """Lessons whose dates go another way than their numbers."""
    dated = [lesson for lesson in lessons if lesson.date]
    for before, after in pairwise(dated):
        if after.date < before.date:
            what = f"lesson {after.number} is on {after.date}, before lesson {before.number} on {before.date}"
            findings.note("understood", f"{what}: lessons are held in the order of their numbers", column="date")


def _lesson_of(lines: list[_Line], findings: Findings) -> Lesson:
    number = lines[0].lesson
    dates = list(dict.fromkeys(line.date for line in lines if line.date))
    if len(dates) > 1:
        row = next(line.row for line in lines if line.date == dates[1])
        findings.trouble(f"lesson {number} has two dates, {dates[0]} and {dates[1]}", "give it one", row, "date")
    try:
        return Lesson(number, _own_names(lines, findings), dates[0] if dates else "")
    except InputError as error:
        findings.trouble(str(error), "change this lesson", lines[0].row)
        return Lesson(number, (lines[0].activity,))


def _own_names(lines: list[_Line], findings: Findings) -> tuple[Activity, ...]:
    """The activities, those whose name stands in the lesson already called 'Name 2' and so on."""
    written = {line.activity.name for line in lines}
    taken: set[str] = set()
    activities = []
    for line in lines:
        name = _free_name(line.activity.name, taken, written)
        if name != line.activity.name:
            text = f"the second '{line.activity.name}' of lesson {line.lesson} is called '{name}'"
            findings.note("mended", text, (line.row,))
        taken.add(name)
        activities.append(replace(line.activity, name=name))
    return tuple(activities)


def _free_name(name: str, taken: set[str], written: set[str]) -> str:
    if name not in taken:
        return name
    number = 2
    while f"{name} {number}" in taken | written:
        number += 1
    return f"{name} {number}"


def _summary(unit: Unit) -> str:
    activities = sum(len(lesson.activities) for lesson in unit.lessons)
    counts = ((len(unit.lessons), "lesson"), (activities, "activity"), (len(unit.keys), "round"))
    return ", ".join(f"{n} {word}" if n == 1 else f"{n} {_plural(word)}" for n, word in counts)


def _plural(word: str) -> str:
    return f"{word[:-1]}ies" if word.endswith("y") else f"{word}s"
