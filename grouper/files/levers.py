"""Reading and writing tables of levers (a row a setting) and of the cupboard; ladders of whole tasks are one lever."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import pairwise
from pathlib import Path

from grouper.errors import InputError, require
from grouper.files.cells import fold, whole_number
from grouper.files.notes import Findings, Note
from grouper.files.opening import Source, table_in
from grouper.files.table import Column, Row, RowReader, Sheet, Table, Vocabulary
from grouper.files.words.levers import (
    ADAPTATION_KINDS,
    ADAPTATIONS_TABLE,
    CUPBOARD,
    KIND,
    LEVER_SHEETS,
    LEVERS,
    kind_of,
    on_a_name,
    scoring_in,
    telling,
)
from grouper.files.writing import csv_text, write_csv
from grouper.model.levers import (
    ADAPTATIONS,
    KINDS,
    Challenge,
    Lever,
    Needed,
    Setting,
    Store,
    needed_from,
    needs_in_words,
)
from grouper.model.scoring import SCORINGS
from grouper.words import Remedy

HEADER = ("activity", "lever", "setting", "order", "words", "needs")
CUPBOARD_HEADER = ("item", "count")
ADAPTATIONS_HEADER = ("student", "kind", "what")
DEFAULTS = Path(__file__).with_name("levers_default.csv")
MOST_LETTERS = 160
"""A longer task does not go on a card that can be read from afar."""

TASK = "task"
"""What the one lever of a ladder of whole tasks is called."""

SCORING = "scoring"
"""What a lever is called whose one setting is the way of scoring of an activity."""

STEP = "step"
"""What a setting of it is called, with its number."""

_REMEDY = Remedy.SEE_LADDERS
_SEARCHED_ROWS = 60


@dataclass(frozen=True)
class LeversReading:
    """The levers as read, in the order of the file, the notes on how, and a summary in one line."""

    challenges: tuple[Challenge, ...]
    notes: tuple[Note, ...]
    summary: str


@dataclass(frozen=True)
class CupboardReading:
    """What is in the cupboard as read, the notes on how, and a summary in one line."""

    stores: tuple[Store, ...]
    notes: tuple[Note, ...]
    summary: str


def read_levers(path: Source) -> LeversReading:
    """The levers in a CSV file or in a sheet of an XLSX workbook; also tables of ladders (`step`, `along`, `task`).

    Raises
    ------
    InputError
        With all troubles of the table, each with its row, column and remedy.
    """
    table, findings = table_in(path, LEVERS, ("order", "words"), _sheet, ("no sheet holds tasks", "name one 'tasks'"))
    _report_columns(table, findings)
    findings.stop_if_troubled()
    lines = _lines(table, findings)
    findings.stop_if_troubled()
    challenges = _challenges(lines, findings)
    findings.stop_if_troubled()
    for line in lines:
        _note_telling(line, findings)
    settings = sum(len(lever.settings) for one in challenges for lever in one.levers)
    levers = sum(len(one.levers) for one in challenges)
    activities = "1 activity" if len(challenges) == 1 else f"{len(challenges)} activities"
    said = f"{activities} with {levers} {'lever' if levers == 1 else 'levers'} and {settings} settings"
    return LeversReading(challenges, findings.notes, said)


def _note_telling(line: _Line, findings: Findings) -> None:
    """The words of a setting are refused; a name is the teacher's own, and may have stood in the lessons for years."""
    for column, name in (("activity", line.activity), ("lever", line.lever)):
        said = on_a_name(name)
        if said and not any(said == note.text for note in findings.notes):
            findings.note("understood", said, (line.row,), column)


def read_cupboard(path: Source) -> CupboardReading:
    """What there is, from a table `item,count` (InputError with all troubles of the table)."""
    reader = _small_table(path, CUPBOARD, CUPBOARD_HEADER, "count", "what there is")
    stores = [store for row in reader.table.rows if (store := _store(reader, row))]
    reader.findings.stop_if_troubled()
    return CupboardReading(tuple(stores), reader.findings.notes, f"{len(stores)} kinds of things")


def read_adaptations(path: Source) -> tuple[tuple[str, str, str], ...]:
    """Who (as it is typed), what kind and what, from a table `student,kind,what` (InputError with all troubles)."""
    reader = _small_table(path, ADAPTATIONS_TABLE, ADAPTATIONS_HEADER, "", "what is kept")
    findings, rows = reader.findings, []
    for row in reader.table.rows:
        who, kind, what = (reader.cell(row, header) for header in ADAPTATIONS_HEADER)
        meant = ADAPTATION_KINDS.meaning(kind)
        if not (who and what):
            findings.trouble("a name or what is kept is missing", "write both", row.number)
        elif meant == "also" and (told := telling(what)):
            message = f"students read '{what}', and '{told}' tells them how able they are held to be"
            findings.trouble(message, "say what to do, without comparing", row.number, "what")
        elif not meant:
            known = ", ".join(ADAPTATIONS)
            findings.trouble(f"'{kind}' is nothing to keep for somebody", f"use {known}", row.number, "kind")
        rows.append((who, meant, what))
    findings.stop_if_troubled()
    return tuple(rows)


def _small_table(path: Source, words: Vocabulary, header: tuple[str, ...], told_by: str, what: str) -> RowReader:
    """A table of which every column is needed; in a workbook the sheet with the column that tells it, or the first."""

    def sheet_of(sheets: tuple[Sheet, ...]) -> Sheet | None:
        named = [s for s in sheets if any(words.knows_any(row.cells, (told_by,)) for row in s.rows[:_SEARCHED_ROWS])]
        return next(iter([*named, *sheets]), None)

    remedy = f"put `{','.join(header)}` in the first row"
    reader = RowReader(*table_in(path, words, header, sheet_of, (f"no sheet holds {what}", remedy)))
    reader.need(header, remedy)
    return reader


@cache
def default_levers() -> tuple[Challenge, ...]:
    """The levers that come along, by kind of activity."""
    return read_levers(DEFAULTS).challenges


def kind_like(own: Challenge | None, library: Iterable[Challenge]) -> str:
    """The kind of the library of which an activity has most levers; empty where it has none of them."""
    shared = {each.activity: len({*each.levers} & {*own.levers}) for each in library} if own else {}
    most = max(shared, key=shared.__getitem__, default="")
    return most if shared.get(most) else ""


def check_words(words: str) -> None:
    """Raise InputError where words for students tell them how able they are held to be, or are too many."""
    if told := telling(words):
        raise InputError(
            "students read '{words}', and '{told}' tells them how able they are held to be",
            "say what to do, such as 'four big steps apart', without comparing",
            words=words,
            told=told,
        )
    too_long = "these words have {count} letters, and a card has room for {most}"
    require(len(words) <= MOST_LETTERS, too_long, "say it shorter", count=len(words), most=MOST_LETTERS)


def levers_csv(challenges: Iterable[Challenge]) -> str:
    """Levers as CSV, every cell guarded; ``read_levers`` gives them back."""
    return csv_text(_rows(challenges))


def write_levers(path: Path, challenges: Iterable[Challenge]) -> None:
    """Write levers to a CSV file, whole or not at all."""
    write_csv(path, _rows(challenges))


def _rows(challenges: Iterable[Challenge]) -> list[tuple[str, ...]]:
    return [HEADER, *(row for one in challenges for row in _rows_of(one))]


def _rows_of(one: Challenge) -> Iterator[tuple[str, ...]]:
    for lever in one.levers:
        for place, setting in enumerate(lever.settings, start=1):
            needs = needs_in_words(setting.needs)
            yield one.activity, _lever_in_words(lever), setting.name, str(place), setting.words, needs
    if one.scoring:
        yield one.activity, SCORING, one.scoring, "", one.own_rule, ""


def _lever_in_words(lever: Lever) -> str:
    """The name, with the kind in brackets where the name does not tell it."""
    return lever.name if kind_of(lever.name) == lever.kind or not lever.kind else f"{lever.name} ({lever.kind})"


@dataclass(frozen=True)
class _Line:
    row: int
    activity: str
    lever: str
    kind: str
    number: int
    setting: Setting
    is_way: bool
    """Whether it is how points count in the activity, and no step of a lever."""


def _lines(table: Table, findings: Findings) -> list[_Line]:
    reader = _LeverRows(table, findings)
    lines = [line for row in table.rows if (line := reader.line(row))]
    for meaning, rows in reader.from_above.items():
        if rows:
            findings.note("understood", f"no {meaning}: that of the row above", tuple(rows))
    if not table.rows:
        findings.trouble("there are no tasks in it", "put each setting in a row below the headers")
    return lines


@dataclass(frozen=True)
class _LeverRows(RowReader):
    """The rows of a table of levers; what is said once for several rows is that of the row above."""

    above: dict[str, str] = field(default_factory=lambda: {"activity": "", "lever": ""})
    from_above: dict[str, list[int]] = field(default_factory=lambda: {"activity": [], "lever": []})

    def line(self, row: Row) -> _Line | None:
        if self._activity(row):
            # Another activity begins, and with it other levers.
            self.above["lever"] = ""
        activity = self._like_above(row, "activity")
        lever, kind = self._lever(row)
        says_scoring = kind == "scoring" and self._says_scoring(row)
        number = 1 if says_scoring else self._number(row)
        # Students read the sentence of a way of scoring, not its name: 'harder way' is for the teacher.
        unread = says_scoring and not self.cell(row, "words")
        words, needs = self.cell(row, "setting") if unread else self._words(row), self._needs(row)
        # In a ladder of whole tasks two steps may have the same words.
        name = self.cell(row, "setting") or (words if self.table.column("lever") else f"{STEP} {number}")
        if number is None or self.findings.troubled_in(row.number):
            return None
        # Words that only repeat the name would appear twice on the card.
        own_words = words if words != name else ""
        return _Line(row.number, activity, lever, kind, number, Setting(name, own_words, needs), says_scoring)

    def _activity(self, row: Row) -> bool:
        own = self.cell(row, "activity")
        return bool(own) and fold(own) != fold(self.above["activity"])

    def _like_above(self, row: Row, meaning: str) -> str:
        own = self.cell(row, meaning)
        if not own and self.above[meaning]:
            self.from_above[meaning].append(row.number)
        elif not own and meaning == "activity":
            self.trouble(row, "activity", "the activity is missing", "write its name as in the table of lessons")
        self.above[meaning] = own or self.above[meaning]
        return self.above[meaning]

    def _lever(self, row: Row) -> tuple[str, str]:
        """The lever's name and what it moves; in a ladder of whole tasks there is one lever, and it has no name."""
        if self.table.column("lever") is None:
            self._along(row)
            return TASK, ""
        said = self._like_above(row, "lever")
        name, _, kind = said.partition("(")
        kind = kind.strip(" )")
        if kind and not KIND.meaning(kind):
            self.trouble(row, "lever", f"'{kind}' is nothing that a lever moves", f"use {', '.join(KINDS)}")
        name = name.strip() or TASK
        return name, KIND.meaning(kind) if kind else kind_of(name)

    def _says_scoring(self, row: Row) -> bool:
        """Whether it is the way of scoring of an activity, which has no order."""
        return not self.cell(row, "order") and bool(scoring_in(self.cell(row, "setting")))

    def _along(self, row: Row) -> None:
        cell = self.cell(row, "along")
        if cell and not (KIND.meaning(cell) or KIND.close_meaning(cell)) and cell not in ("-", "–", "—"):
            message = f"'{cell}' is nothing that a step can change"
            self.trouble(row, "along", message, f"use {', '.join(KINDS)}, or leave it empty")

    def _number(self, row: Row) -> int | None:
        cell = self.cell(row, "order")
        number = whole_number(cell)
        if number is None or number < 1:
            message = f"'{cell}' is no number of a step" if cell else "the number of the step is missing"
            self.trouble(row, "order", message, "write 1 for the easiest, then 2, 3 and so on")
        return number

    def _words(self, row: Row) -> str:
        words = self.cell(row, "words") or self.cell(row, "setting")
        if not words:
            self.trouble(row, "words", "the task is missing", "write what the group is to do, in a few words")
            return words
        try:
            check_words(words)
        except InputError as error:
            self.trouble(row, "words", error.said.sentence, str(error.said.remedy))
        return words

    def _needs(self, row: Row) -> tuple[Needed, ...]:
        try:
            return needed_from(self.cell(row, "needs"))
        except InputError as error:
            self.trouble(row, "needs", str(error), "write it as '2 cones; rope each'")
            return ()


def _store(reader: RowReader, row: Row) -> Store | None:
    item, count = (reader.cell(row, header) for header in CUPBOARD_HEADER)
    number = whole_number(count)
    if not item:
        reader.findings.trouble("the thing has no name", "write what it is, such as 'large ball'", row.number, "item")
    elif number is None:
        reader.findings.trouble(f"'{count}' is no number of {item}", "write how many there are", row.number, "count")
    else:
        return Store(item, number)
    return None


def _sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the levers, by its name or its headers; the only one of a text file; None where there is none."""
    if len(sheets) == 1 and not sheets[0].title:
        return sheets[0]
    looking = [sheet for sheet in sheets if any(_is_header(row.cells) for row in sheet.rows[:_SEARCHED_ROWS])]
    named = [sheet for sheet in looking if LEVER_SHEETS.meaning(sheet.title)]
    return next(iter([*named, *looking]), None)


def _is_header(cells: tuple[str, ...]) -> bool:
    return all(LEVERS.knows_any(cells, (meaning,)) for meaning in ("activity", "order")) and (
        LEVERS.knows_any(cells, ("words",)) or LEVERS.knows_any(cells, ("setting",))
    )


def _report_columns(table: Table, findings: Findings) -> None:
    seen: set[str] = set()
    for column in table.columns:
        if column.meaning and column.meaning not in seen:
            seen.add(column.meaning)
        elif not column.header:
            _refuse_cut_tasks(table, column, findings)
        else:
            why = "another column serves for this" if column.meaning else "not known in a table of tasks"
            findings.note("left out", why, column=column.shown)
    needed = {"activity": ("activity",), "order": ("order",), "words": ("words", "setting")}
    for name, any_of in needed.items():
        if not seen & set(any_of):
            findings.trouble(f"there is no column '{name}'", _REMEDY)


def _refuse_cut_tasks(table: Table, column: Column, findings: Findings) -> None:
    """Cells beyond the header: most often a task with a comma in it, of which a card would show the first half."""
    for row in table.rows:
        if cell := row.cell(column.place):
            message = f"'{cell}' is beyond the last column, as where a task has a comma in it"
            findings.trouble(message, 'put the whole task in quotes, such as "catch, turn, throw"', row.number)


def _challenges(lines: list[_Line], findings: Findings) -> tuple[Challenge, ...]:
    by_activity: dict[str, dict[tuple[str, bool], list[_Line]]] = {}
    for line in lines:
        # The way of scoring stands beside a lever of that name, as those that come along have one.
        by_activity.setdefault(fold(line.activity), {}).setdefault((fold(line.lever), line.is_way), []).append(line)
    found = []
    for levers in by_activity.values():
        first = min((line for own in levers.values() for line in own), key=lambda line: line.row)
        ways = {name: own[0].setting for name, own in levers.items() if len(own) == 1 and own[0].kind == "scoring"}
        known = {name: way for name, way in ways.items() if scoring_in(way.name)}
        others = (own for name, own in levers.items() if name not in known)
        made = [_lever(sorted(own, key=lambda line: line.number), findings) for own in others]
        kept = tuple(lever for lever in made if lever)
        scoring, rule = next(((scoring_in(way.name), way.words) for way in known.values()), ("", ""))
        try:
            found += [Challenge(first.activity, kept, scoring, rule)] if kept or scoring else []
        except InputError as error:
            findings.trouble(str(error), "leave some out, or give the activity another name", first.row, "lever")
    return tuple(found)


def _lever(lines: list[_Line], findings: Findings) -> Lever | None:
    """One lever; its settings are in order of their numbers."""
    first = lines[0]
    what = f"'{first.activity}'" if first.lever == TASK else f"'{first.lever}' of '{first.activity}'"
    for one, next_ in pairwise(lines):
        if one.number == next_.number:
            message = f"step {next_.number} of {what} is in row {one.row} too"
            findings.trouble(message, "give each step a number of its own, 1 for the easiest", next_.row, "order")
    if len(lines) < 2:
        message = f"{what} has one step, so there is nothing to choose from"
        ways = ", ".join(one.key for one in SCORINGS)
        more = f", or name a way of scoring: {ways}" if first.kind == "scoring" else ""
        findings.trouble(message, f"give it two steps or more{more}", first.row, "order")
        return None
    if [line.number for line in lines] != list(range(1, len(lines) + 1)):
        findings.note("mended", f"the steps of {what} are numbered 1 to {len(lines)}", (first.row,))
    try:
        settings = (_renumbered(line, place) for place, line in enumerate(lines, start=1))
        return Lever(first.lever, tuple(settings), first.kind)
    except InputError as error:
        findings.trouble(str(error), "give each setting a name of its own", first.row, "setting")
        return None


def _renumbered(line: _Line, place: int) -> Setting:
    is_numbered = line.setting.name == f"{STEP} {line.number}"
    return replace(line.setting, name=f"{STEP} {place}") if is_numbered else line.setting
