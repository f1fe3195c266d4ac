"""Reading the table of lessons: a row an activity."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import count, pairwise

from grouper.errors import InputError
from grouper.files.cells import DASHES, fold, is_not_rated, number_text, read_dates, whole_number
from grouper.files.notes import Findings, Note
from grouper.files.opening import Source, lessons_sheet, table_in
from grouper.files.table import Row, RowReader, Table, Vocabulary, report_unread
from grouper.files.words.headers import AIM, CAUTION, LESSONS
from grouper.files.words.levers import on_a_name
from grouper.model.roster import Roster
from grouper.model.sides import in_words, sides_in
from grouper.model.unit import AIMS, CAUTIONS, Activity, Lesson, Unit
from grouper.words import Remedy, counted

_NEEDS_STRAND = ("balanced", "coaching", "similar")
_MOST = 100
"""People in a group, groups, and rounds."""


@dataclass(frozen=True)
class ActivityReader(RowReader):
    """Reads activities; the strands are those of ``roster``."""

    roster: Roster

    def activity(self, row: Row) -> Activity | None:
        """The activity of a row; None where something is wrong with it, which stands in the findings then."""
        aim = self._one_of(row, "aim", AIM, AIMS) or "fresh"
        sides, edge = self._sides(row, aim), self._edge(row)
        size, groups = (None, None) if sides else self._size_and_groups(row, aim)
        rounds, remedy = self._count(row, "rounds"), "write a number, or leave it empty"
        minutes = self.number(row, "minutes", "{cell} cannot be minutes", remedy, lambda number: number > 0, "min")
        strand = self._strand(row, aim)
        min_gap, max_gap = self._gaps(row, aim)
        caution = self._one_of(row, "caution", CAUTION, ("none", *CAUTIONS))
        name = self.cell(row, "activity")
        if not name:
            self.trouble(row, "activity", "the activity has no name", "write what the class does")
        try:
            how = (rounds or 1, minutes, strand, min_gap, max_gap, caution, sides, edge)
            return Activity(name, aim, size, groups, *how)
        except InputError as error:
            if not self.findings.troubled_in(row.number):
                self.findings.trouble(str(error), "change this row", row.number)
            return None

    def _one_of(self, row: Row, meaning: str, words: Vocabulary, allowed: tuple[str, ...]) -> str:
        found, cell = self.word(row, meaning, words), self.cell(row, meaning)
        if cell and not found and cell not in DASHES:
            self.trouble(row, meaning, f"'{cell}' is not known as {meaning}", f"use one of {', '.join(allowed)}")
        return found

    def _count(self, row: Row, meaning: str) -> int | None:
        what = "the size of a group" if meaning == "size" else f"the number of {meaning}"
        remedy = f"write a whole number from 1 to {_MOST}, or leave it empty"
        return self.whole(row, meaning, f"{{cell}} cannot be {what}", remedy, _MOST)

    def _gap(self, row: Row, meaning: str) -> float | None:
        remedy = "write a number, or leave it empty"
        return self.number(row, meaning, f"{{cell}} cannot be {meaning}", remedy, lambda gap: gap >= 0)

    def _size_and_groups(self, row: Row, aim: str) -> tuple[int | None, int | None]:
        size, groups = self._count(row, "size"), self._count(row, "groups")
        if aim == "stay":
            if size or groups:
                self.note(row, "size" if size else "groups", "left out", "the groups stay, so this is not used")
            return None, None
        if aim == "coaching":
            if groups:
                self.trouble(row, "groups", "coaching works in pairs, not in teams", "leave groups empty")
            if size not in (None, 2):
                self.trouble(row, "size", f"coaching works in pairs, not in {size}s", "use 2, or another aim")
            if size is None and not groups:
                self.note(row, "size", "understood", "coaching works in pairs: size 2")
            return 2, None
        if size and groups:
            self.trouble(row, "groups", "size and groups are both given", "leave one of them empty")
        elif not size and not groups and not self.findings.troubled_in(row.number):
            self.trouble(row, "size", "there is neither a size nor a number of groups", "give one of them, or sides")
        return (size, None) if size else (None, groups)

    def _sides(self, row: Row, aim: str) -> str:
        """The sides of a game as they are kept; empty where there are none, or something is wrong with them."""
        cell = self.cell(row, "sides")
        if is_not_rated(cell):
            return ""
        if aim in ("coaching", "stay"):
            self.trouble(row, "sides", f"the aim {aim} has no sides", "leave sides empty, or use another aim")
            return ""
        try:
            sides = in_words(sides_in(cell))
        except InputError as error:
            remedy = "write the sides of one game, such as 5+3 or 4+4+1"
            self.trouble(row, "sides", str(error).partition("; ")[0], remedy)
            return ""
        if self._count(row, "size") or self._count(row, "groups"):
            self.trouble(row, "sides", "sides say how large teams are", "leave size and groups empty")
        return sides

    def _edge(self, row: Row) -> int:
        """Percent; a percent sign is no part of it."""
        cell = self.cell(row, "edge").removesuffix("%").rstrip()
        if is_not_rated(cell):
            return 0
        value = whole_number(cell.removeprefix("-"))
        if value is None:
            self.trouble(row, "edge", f"'{cell}' cannot be an edge", "write whole percent, such as 20")
            return 0
        return -value if cell.startswith("-") else value

    def _strand(self, row: Row, aim: str) -> str:
        cell, known = self.cell(row, "strand"), self.roster.strands
        if aim not in _NEEDS_STRAND:
            if cell:
                self.note(row, "strand", "left out", f"the aim {aim} goes by no rating")
            return ""
        if not cell and len(known) == 1:
            self.note(row, "strand", "understood", f"'{known[0]}', the only rating of the roster")
            return known[0]
        # From exact to loose, and only where one strand is meant: two that differ in case are two.
        for same in (str, str.casefold, fold, _without_scale) if cell else ():
            found = [strand for strand in known if same(strand) == same(cell)]
            if len(found) == 1:
                return found[0]
        message = f"the roster has no rating '{cell}'" if cell else f"the aim {aim} needs a rating"
        none = "the roster has none: add a column of numbers to it, or use another aim"
        self.trouble(row, "strand", message, f"use one of the roster's: {', '.join(known)}" if known else none)
        return ""

    def _gaps(self, row: Row, aim: str) -> tuple[float | None, float | None]:
        smallest, largest = self._gap(row, "min_gap"), self._gap(row, "max_gap")
        if aim != "coaching":
            for meaning, gap in (("min_gap", smallest), ("max_gap", largest)):
                if gap is not None:
                    self.note(row, meaning, "left out", f"the aim {aim} has no gaps")
            return None, None
        if smallest is not None and largest is not None and smallest > largest:
            message = f"the smallest gap {number_text(smallest)} is above the largest {number_text(largest)}"
            self.trouble(row, "min_gap", message, "swap them")
        return smallest, largest


_SCALE_AT_END = re.compile(r"\s*[(\[][^()\[\]]*[)\]]\s*$")
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


def _without_scale(name: str) -> str:
    """A strand's name without what its header adds in brackets: 'Stamina (1-5)' is called stamina in lessons."""
    return fold(_SCALE_AT_END.sub("", name))


def read_lessons(path: Source, roster: Roster) -> LessonsReading:
    """The unit in a CSV file or in a sheet of an XLSX workbook; strands are those of the roster.

    Raises
    ------
    InputError
        With all troubles of the table, each with its row, column and remedy.
    """
    none = "no sheet holds lessons", "name one 'lessons', with the headers of the template"
    table, findings = table_in(path, LESSONS, ("activity",), lessons_sheet, none)
    report_unread(table, LESSONS, "lessons", findings)
    reader = ActivityReader(table, findings, roster)
    reader.need(("lesson", "activity"), Remedy.SEE_TEMPLATE)
    lines = _lines(reader)
    findings.stop_if_troubled()
    unit = _unit(lines, findings)
    findings.stop_if_troubled()
    activities = sum(len(lesson.activities) for lesson in unit.lessons)
    lessons, rounds = counted(len(unit.lessons), "lesson"), counted(len(unit.keys), "round")
    return LessonsReading(unit, findings.notes, f"{lessons}, {counted(activities, 'activity', 'activities')}, {rounds}")


def _lines(reader: ActivityReader) -> list[_Line]:
    table, findings = reader.table, reader.findings
    dates = _dates(table, findings)
    lines: list[_Line] = []
    lesson: int | None = None
    taken_from_above: list[int] = []
    for row in table.rows:
        own = _lesson(row, reader, first=lesson is None)
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


def _lesson(row: Row, reader: ActivityReader, *, first: bool) -> int | None:
    """The lesson of a row; None where it is the one of the row above."""
    text = reader.cell(row, "lesson")
    if not text and not first:
        return None
    number = whole_number(text)
    match = _NUMBER_IN_TEXT.fullmatch(text) if number is None and "," not in text and "." not in text else None
    number = int(match[1]) if match else number
    if number is None or not 1 <= number <= _LAST_LESSON:
        reader.trouble(row, "lesson", f"'{text}' is no lesson number", "write 1, 2, 3 and so on")
        return None
    return number


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
        findings.note("understood", f"the day comes first: {example[0]} is {example[1]}", column=column.header)
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
    dated = [lesson for lesson in lessons if lesson.date]
    for before, after in pairwise(dated):
        if after.date < before.date:
            what = f"lesson {after.number} is on {after.date}, before lesson {before.number} on {before.date}"
            findings.note("understood", f"{what}: lessons are held in the order of their numbers", column="date")
    return Unit(tuple(lessons))


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
        name = line.activity.name
        if name in taken:
            numbered = (f"{name} {number}" for number in count(2))
            name = next(free for free in numbered if free not in taken | written)
        if name != line.activity.name:
            text = f"the second '{line.activity.name}' of lesson {line.lesson} is called '{name}'"
            findings.note("mended", text, (line.row,))
        taken.add(name)
        if said := on_a_name(name):
            findings.note("understood", said, (line.row,), "activity")
        activities.append(replace(line.activity, name=name))
    return tuple(activities)
