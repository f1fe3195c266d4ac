"""The rows of a table of ladders, cell by cell."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.files.notes import Findings
from grouper.files.numbers import whole_number
from grouper.files.sheet import Row
from grouper.files.table import Table
from grouper.files.words.ladders import ALONG, TELLING
from grouper.model.ladder import ALONG as DIMENSIONS

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
