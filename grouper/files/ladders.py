"""Reading and writing a library of ladders: a row a step, from the easiest task of an activity to the hardest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from grouper.files.csv_text import csv_text, write_csv
from grouper.files.ladder_rows import Line, lines_of
from grouper.files.notes import Findings, Note, refuse
from grouper.files.opening import Source, open_file, read_sheets
from grouper.files.sheet import Sheet
from grouper.files.table import Column, Table, find_table
from grouper.files.tidy import fold
from grouper.files.words.ladders import LADDER_SHEETS, LADDERS
from grouper.model.ladder import Ladder, Step
from grouper.words import Remedy

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
            message = f"'{cell}' stands beyond the last column, as where a task has a comma in it"
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
