"""Reading and writing tables of levers (a row a setting) and of the cupboard; ladders of whole tasks are one lever."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import pairwise
from pathlib import Path

from grouper.errors import InputError, require
from grouper.files.cells import DASHES, fold, whole_number
from grouper.files.notes import Findings, Note
from grouper.files.opening import Source, has_row, only_text, table_in
from grouper.files.table import Row, RowReader, Sheet, Table, Vocabulary
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
from grouper.words import Remedy, counted

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
    reader = _LeverRows(table, findings)
    lines = [line for row in table.rows if (line := reader.line(row))]
    for meaning, rows in reader.from_above.items():
        if rows:
            findings.note("understood", f"no {meaning}: that of the row above", tuple(rows))
    if not table.rows:
        findings.trouble("there are no tasks in it", "put each setting in a row below the headers")
    findings.stop_if_troubled()
    challenges = _challenges(lines, findings)
    findings.stop_if_troubled()
    # The words of a setting are refused; a name is the teacher's own, and may have stood in the lessons for years.
    for line in lines:
        for column, name in (("activity", line.activity), ("lever", line.lever)):
            said = on_a_name(name)
            if said and not any(said == note.text for note in findings.notes):
                findings.note("understood", said, (line.row,), column)
    levers = counted(sum(len(one.levers) for one in challenges), "lever")
    settings = sum(len(one.all_settings) for one in challenges)
    said = f"{counted(len(challenges), 'activity', 'activities')} with {levers} and {settings} settings"
    return LeversReading(challenges, findings.notes, said)


def read_cupboard(path: Source) -> CupboardReading:
    """What there is, from a table `item,count` (InputError with all troubles of the table)."""
    reader, stores = _small_table(path, CUPBOARD, CUPBOARD_HEADER, "count", "what there is"), []
    for row in reader.table.rows:
        item, count = (reader.cell(row, header) for header in CUPBOARD_HEADER)
        number = whole_number(count)
        if not item:
            message, remedy = "the thing has no name", "write what it is, such as 'large ball'"
            reader.findings.trouble(message, remedy, row.number, "item")
        elif number is None:
            message, remedy = f"'{count}' is no number of {item}", "write how many there are"
            reader.findings.trouble(message, remedy, row.number, "count")
        else:
            stores.append(Store(item, number))
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
        return next(iter([*(sheet for sheet in sheets if has_row(sheet, words, (told_by,))), *sheets]), None)

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
    return csv_text((HEADER, *_rows(challenges)))


def write_levers(path: Path, challenges: Iterable[Challenge]) -> None:
    """Write levers to a CSV file, whole or not at all."""
    write_csv(path, (HEADER, *_rows(challenges)))


def _rows(challenges: Iterable[Challenge]) -> Iterator[tuple[str, ...]]:
    for one in challenges:
        for lever in one.levers:
            # The kind stands in brackets where the name does not tell it.
            name = lever.name if lever.kind in ("", kind_of(lever.name)) else f"{lever.name} ({lever.kind})"
            for place, setting in enumerate(lever.settings, start=1):
                yield one.activity, name, setting.name, str(place), setting.words, needs_in_words(setting.needs)
        if one.scoring:
            yield one.activity, SCORING, one.scoring, "", one.own_rule, ""


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


@dataclass(frozen=True)
class _LeverRows(RowReader):
    """The rows of a table of levers; what is said once for several rows is that of the row above."""

    above: dict[str, str] = field(default_factory=lambda: {"activity": "", "lever": ""})
    from_above: dict[str, list[int]] = field(default_factory=lambda: {"activity": [], "lever": []})

    def line(self, row: Row) -> _Line | None:
        own = self.cell(row, "activity")
        if own and fold(own) != fold(self.above["activity"]):
            # Another activity begins, and with it other levers.
            self.above["lever"] = ""
        activity = self._like_above(row, "activity")
        lever, kind = self._lever(row)
        # The way of scoring of an activity has no order.
        unordered, called = not self.cell(row, "order"), self.cell(row, "setting")
        says_scoring = kind == "scoring" and unordered and bool(scoring_in(called))
        number = 1 if says_scoring else self._number(row)
        # Students read the sentence of a way of scoring, not its name: 'harder way' is for the teacher.
        unread = says_scoring and not self.cell(row, "words")
        words, needs = called if unread else self._words(row), self._needs(row)
        # In a ladder of whole tasks two steps may have the same words.
        name = called or (words if self.table.column("lever") else f"{STEP} {number}")
        if number is None or self.findings.troubled_in(row.number):
            return None
        # Words that only repeat the name would appear twice on the card.
        own_words = words if words != name else ""
        return _Line(row.number, activity, lever, kind, number, Setting(name, own_words, needs), says_scoring)

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
            along = self.cell(row, "along")
            if along and not self.word(row, "along", KIND) and along not in DASHES:
                message = f"'{along}' is nothing that a step can change"
                self.trouble(row, "along", message, f"use {', '.join(KINDS)}, or leave it empty")
            return TASK, ""
        said = self._like_above(row, "lever")
        name, _, kind = said.partition("(")
        kind = kind.strip(" )")
        if kind and not KIND.meaning(kind):
            self.trouble(row, "lever", f"'{kind}' is nothing that a lever moves", f"use {', '.join(KINDS)}")
        name = name.strip() or TASK
        return name, KIND.meaning(kind) if kind else kind_of(name)

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


def _sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The sheet of the levers, by its name or its headers; the only one of a text file; None where there is none."""
    header = ("activity",), ("order",), ("words", "setting")
    looking = [sheet for sheet in sheets if has_row(sheet, LEVERS, *header)]
    named = [sheet for sheet in looking if LEVER_SHEETS.meaning(sheet.title)]
    return only_text(sheets) or next(iter([*named, *looking]), None)


def _report_columns(table: Table, findings: Findings) -> None:
    for column in table.columns:
        used = bool(column.meaning) and column == table.column(column.meaning)
        if not used and column.header:
            why = "another column serves for this" if column.meaning else "not known in a table of tasks"
            findings.note("left out", why, column=column.shown)
        # Cells beyond the header: most often a task with a comma in it, of which a card would show the first half.
        for row in table.rows if not used and not column.header else ():
            if cell := row.cell(column.place):
                message = f"'{cell}' is beyond the last column, as where a task has a comma in it"
                findings.trouble(message, 'put the whole task in quotes, such as "catch, turn, throw"', row.number)
    for any_of in (("activity",), ("order",), ("words", "setting")):
        if not any(map(table.column, any_of)):
            findings.trouble(f"there is no column '{any_of[0]}'", Remedy.SEE_LADDERS)


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
    settings = []
    for place, line in enumerate(lines, start=1):
        is_numbered = line.setting.name == f"{STEP} {line.number}"
        settings.append(replace(line.setting, name=f"{STEP} {place}") if is_numbered else line.setting)
    try:
        return Lever(first.lever, tuple(settings), first.kind)
    except InputError as error:
        findings.trouble(str(error), "give each setting a name of its own", first.row, "setting")
        return None
