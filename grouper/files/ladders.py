"""A library of ladders as a table: a row a step, from the easiest task of an activity to the hardest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from grouper.files.cells import fold, whole_number
from grouper.files.csv_text import csv_text, write_csv
from grouper.files.notes import Findings, Note, refuse
from grouper.files.opening import Source, open_file, read_sheets
from grouper.files.table import Column, Row, Sheet, Table, find_table
from grouper.files.words.headers import ALONG, LADDER_SHEETS, LADDERS, TELLING
from grouper.model.ladder import ALONG as DIMENSIONS
from grouper.model.ladder import Ladder, Step
from grouper.words import Remedy

MOST_LETTERS = 160
"""A longer task does not go on a card that can be read from afar."""


@dataclass(frozen=True)
class Line:
    """One row: its number, and the activity, the step's number, what it changes and the task in words."""

    row: int
    activity: str
    number: int
    along: str
    task: str


def lines_of(table: Table, findings: Findings) -> list[Line]:
    """The rows that are right; what is wrong with others goes to the findings."""
    reader = _Reader(table, findings)
    lines = [line for row in table.rows if (line := reader.line(row))]
    if reader.from_above:
        findings.note("understood", "no activity: that of the row above", tuple(reader.from_above))
    if not table.rows:
        findings.trouble("there are no tasks in it", "put each step in a row below the headers")
    return lines


class _Reader:
    def __init__(self, table: Table, findings: Findings) -> None:
        self.table = table
        self.findings = findings
        self.activity = ""
        self.from_above: list[int] = []

    def line(self, row: Row) -> Line | None:
        activity, number = self._activity(row), self._number(row)
        along, task = self._along(row), self._task(row)
        if number is None or self.findings.troubled_in(row.number):
            return None
        return Line(row.number, activity, number, along, task)

    def _cell(self, row: Row, meaning: str) -> str:
        column = self.table.column(meaning)
        return row.cell(column.place) if column else ""

    def _trouble(self, row: Row, meaning: str, message: str, remedy: str) -> None:
        column = self.table.column(meaning)
        self.findings.trouble(message, remedy, row.number, column.shown if column else meaning)

    def _activity(self, row: Row) -> str:
        own = self._cell(row, "activity")
        if not own and self.activity:
            self.from_above.append(row.number)
        elif not own:
            self._trouble(row, "activity", "the activity is missing", "write its name as in the table of lessons")
        self.activity = own or self.activity
        return self.activity

    def _number(self, row: Row) -> int | None:
        cell = self._cell(row, "step")
        number = whole_number(cell)
        if number is None or number < 1:
            message = f"'{cell}' is no number of a step" if cell else "the number of the step is missing"
            self._trouble(row, "step", message, "write 1 for the easiest, then 2, 3 and so on")
        return number

    def _along(self, row: Row) -> str:
        cell = self._cell(row, "along")
        found = ALONG.meaning(cell) or ALONG.close_meaning(cell)
        if cell and not found and cell not in ("-", "–", "—"):
            message = f"'{cell}' is nothing that a step can change"
            self._trouble(row, "along", message, f"use {', '.join(DIMENSIONS)}, or leave it empty")
        return found

    def _task(self, row: Row) -> str:
        task = self._cell(row, "task")
        telling = TELLING.search(task)
        if not task:
            self._trouble(row, "task", "the task is missing", "write what the group is to do, in a few words")
        elif len(task) > MOST_LETTERS:
            message = f"the task has {len(task)} letters, and a card has room for {MOST_LETTERS}"
            self._trouble(row, "task", message, "say it shorter")
        elif telling:
            message = f"students read the task, and '{telling[0]}' tells them how able they are held to be"
            self._trouble(row, "task", message, "say what to do, such as 'four big steps apart', without comparing")
        return task


HEADER = ("activity", "step", "along", "task")
DEFAULTS = Path(__file__).with_name("ladders_default.csv")
_REMEDY = Remedy.SEE_LADDERS
_SEARCHED_ROWS = 60


@dataclass(frozen=True)
class LaddersReading:
    """The ladders as read, in the order of the file, the notes on how, and a summary in one line."""

    ladders: tuple[Ladder, ...]
    notes: tuple[Note, ...]
    summary: str


def read_ladders(path: Source) -> LaddersReading:
    """The ladders in a CSV file or in a sheet of an XLSX workbook.

    Raises
    ------
    InputError
        With all troubles of the table, each with its row, column and remedy.
    """
    opened = open_file(path)
    sheet = _sheet(read_sheets(opened, LADDERS.known))
    if sheet is None:
        raise refuse(opened.file, "no sheet holds tasks", "name one 'tasks'")
    findings = Findings(sheet.place)
    table = find_table(sheet, LADDERS, ("task", "step"), findings)
    _report_columns(table, findings)
    findings.stop_if_troubled()
    lines = lines_of(table, findings)
    findings.stop_if_troubled()
    ladders = _ladders(lines, findings)
    findings.stop_if_troubled()
    return LaddersReading(ladders, findings.notes, _summary(ladders))


def default_ladders() -> tuple[Ladder, ...]:
    """The ladders that come along, for common activities."""
    return read_ladders(DEFAULTS).ladders


def ladders_csv(ladders: Iterable[Ladder]) -> str:
    """Ladders as CSV, every cell guarded; ``read_ladders`` gives them back."""
    return csv_text(_rows(ladders))


def write_ladders(path: Path, ladders: Iterable[Ladder]) -> None:
    """Write ladders to a CSV file, whole or not at all."""
    write_csv(path, _rows(ladders))


def _rows(ladders: Iterable[Ladder]) -> list[tuple[str, ...]]:
    steps = (
        (ladder.activity, str(number), step.along, step.task)
        for ladder in ladders
        for number, step in enumerate(ladder.steps, start=1)
    )
    return [HEADER, *steps]


def _sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the ladders, by its name or its headers; the only one of a text file; None where there is none."""
    if len(sheets) == 1 and not sheets[0].title:
        return sheets[0]
    looking = [sheet for sheet in sheets if any(_is_header(row.cells) for row in sheet.rows[:_SEARCHED_ROWS])]
    named = [sheet for sheet in looking if LADDER_SHEETS.meaning(sheet.title)]
    return next(iter([*named, *looking]), None)


def _is_header(cells: tuple[str, ...]) -> bool:
    return all(LADDERS.knows_any(cells, (meaning,)) for meaning in ("activity", "step", "task"))


def _report_columns(table: Table, findings: Findings) -> None:
    seen: set[str] = set()
    for column in table.columns:
        if column.meaning and column.meaning not in seen:
            seen.add(column.meaning)
        elif not column.header:
            _refuse_cut_tasks(table, column, findings)
        elif column.header or any(table.values(column)):
            why = "another column serves for this" if column.meaning else "not known in a table of tasks"
            findings.note("left out", why, column=column.shown)
    for needed in ("activity", "step", "task"):
        if needed not in seen:
            findings.trouble(f"there is no column '{needed}'", _REMEDY)


def _refuse_cut_tasks(table: Table, column: Column, findings: Findings) -> None:
    """Cells beyond the header: most often a task with a comma in it, of which a card would show the first half."""
    for row in table.rows:
        if cell := row.cell(column.place):
            message = f"'{cell}' is beyond the last column, as where a task has a comma in it"
            findings.trouble(message, 'put the whole task in quotes, such as "catch, turn, throw"', row.number)


def _ladders(lines: list[Line], findings: Findings) -> tuple[Ladder, ...]:
    by_activity: dict[str, list[Line]] = {}
    for line in lines:
        by_activity.setdefault(fold(line.activity), []).append(line)
    ladders = [_ladder(sorted(own, key=lambda line: line.number), findings) for own in by_activity.values()]
    return tuple(ladder for ladder in ladders if ladder is not None)


def _ladder(lines: list[Line], findings: Findings) -> Ladder | None:
    """The ladder of one activity; its steps are in order of their numbers."""
    first = lines[0]
    for one, next_ in pairwise(lines):
        if one.number == next_.number:
            message = f"step {next_.number} of '{first.activity}' stands in row {one.row} too"
            findings.trouble(message, "give each step a number of its own, 1 for the easiest", next_.row, "step")
    if len(lines) < 2:
        message = f"'{first.activity}' has one step, so there is nothing to choose from"
        findings.trouble(message, "give it two steps or more", first.row, "step")
        return None
    if [line.number for line in lines] != list(range(1, len(lines) + 1)):
        findings.note("mended", f"the steps of '{first.activity}' are numbered 1 to {len(lines)}", (first.row,))
    return Ladder(min(lines, key=lambda line: line.row).activity, tuple(Step(line.along, line.task) for line in lines))


def _summary(ladders: tuple[Ladder, ...]) -> str:
    steps = sum(len(ladder.steps) for ladder in ladders)
    activities = "1 activity" if len(ladders) == 1 else f"{len(ladders)} activities"
    return f"{activities} with {steps} steps"
