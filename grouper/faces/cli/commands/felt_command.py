"""``grouper felt``: how a task went for the groups."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, class_argument, lesson_option, not_closed_line, show
from grouper.faces.wording.changes import task_in_words
from grouper.files.store import ClassFile
from grouper.games.days.groups import labels_of, number_of
from grouper.model.noted import FELT, TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import round_meant
from grouper.planning.noting import unseen
from grouper.tasks.choose import with_result, with_setting
from grouper.tasks.rounds import round_tasks

HOW = "write it as GROUP=easy, GROUP=right, GROUP=hard, GROUP=7/10, or points as GROUP=12 or GROUP=12-5"

_POINTS = re.compile(r"(\d{1,4})(?:\s*[-−]\s*(\d{1,4}))?", re.ASCII)


@click.command()
@class_argument
@click.argument("results", metavar="GROUP=HOW...", nargs=-1, required=True)
@lesson_option
@click.option("--round", "number", type=COUNT, metavar="K", help="Which round of the lesson, where it has several.")
@click.option("--take-back", is_flag=True, help="Nothing was seen of these groups after all; give them without =.")
def command(class_path: Path, results: tuple[str, ...], lesson: int, number: int | None, take_back: bool) -> None:
    """Enter how a task went for groups, such as: grouper felt 7b.class --lesson 3 1=easy 2=right 4=7/10

    A group found it too easy, right or too hard, or succeeded in 7 of 10 attempts; both may stand for one group. Points
    by the activity's way of scoring are 2=12, less what was lost 2=12-5. Where children chose, or did something else
    than the card says, 2=ball:small says what they really did. What is entered again replaces what was there.
    """
    with ClassFile(class_path).change(f"how tasks went in lesson {lesson}") as edit:
        key = round_meant(edit.record, lesson, number)
        if take_back:
            edit.what = f"how tasks went in lesson {lesson}: taken back"
            entered = _taken_back(edit.record, key, results)
            for result in entered:
                edit.record = unseen(edit.record, result)
        else:
            edit.record, entered = _entered(edit.record, key, results)
            for result in entered:
                edit.record = with_result(edit.record, result)
    word = "taken back: " if take_back else ""
    show(f"Lesson {lesson}, {word}{task_in_words(result)}" for result in entered)
    show(_did(edit.record, key, results) if not take_back else ())
    show(not_closed_line(edit.record, lesson))


@dataclass(frozen=True)
class _Said:
    """What was typed of a group: a word, successes and attempts, or points won and lost."""

    label: str
    felt: str = ""
    hits: int | None = None
    tries: int | None = None
    points: int | None = None
    lost: int = 0

    @property
    def kind(self) -> str:
        """Which of these it is."""
        return "a word" if self.felt else "points" if self.points is not None else "a count"


def _said(text: str, labels: tuple[str, ...]) -> _Said:
    group, sign, how = (part.strip() for part in text.rpartition("="))
    if not sign or not group:
        raise InputError("'{text}' says nothing of a group", HOW, text=text)
    label = _label(group, labels)
    if how.casefold() in FELT[1:]:
        return _Said(label, felt=how.casefold())
    if points := _POINTS.fullmatch(how):
        return _Said(label, points=int(points[1]), lost=int(points[2] or 0))
    hits, slash, tries = (part.strip() for part in how.partition("/"))
    if not (slash and hits.isdecimal() and tries.isdecimal() and len(hits + tries) < 9):
        raise InputError("'{how}' in '{text}' is not understood", HOW, how=how, text=text)
    return _Said(label, hits=int(hits), tries=int(tries))


def _label(group: str, labels: tuple[str, ...]) -> str:
    return labels[number_of(group, labels, "group") - 1]


def _labels(record: ClassRecord, key: RoundKey) -> tuple[str, ...]:
    return labels_of(record.plan.by_key[key].groups)


def _known(record: ClassRecord, key: RoundKey) -> dict[str, TaskResult]:
    return {result.label: result for result in record.results if result.key == key}


def _entered(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> tuple[ClassRecord, list[TaskResult]]:
    """The record with what groups really did, and the results as they are then.

    Of each group they hold what is typed, and what was known before and is not typed anew.
    """
    labels, given = _labels(record, key), list(texts)
    for label, way in _ways(given, labels):
        record = with_setting(record, key, label, way)
    results = _known(record, key)
    said = [_said(text, labels) for text in given if ":" not in text]
    _refuse_doubles(said)
    for each in said:
        results[each.label] = _with(results.get(each.label), each, key)
    return record, [results[label] for label in dict.fromkeys(each.label for each in said)]


def _ways(texts: Iterable[str], labels: tuple[str, ...]) -> list[tuple[str, str]]:
    """The groups of which is typed what they did, as LEVER:SETTING, and what that is."""
    parts = (text.partition("=") for text in texts if ":" in text)
    return [(_label(group.strip(), labels), way) for group, _, way in parts]


def _did(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> Iterator[str]:
    tasks = round_tasks(record, key).tasks
    for label in dict.fromkeys(label for label, _ in _ways(texts, _labels(record, key))):
        yield f"Lesson {key.lesson}, group {label} did: {tasks[label].task}"


def _refuse_doubles(said: list[_Said]) -> None:
    """A word, a count and points may stand for one group; two of a kind may not."""
    kinds = [(each.label, each.kind) for each in said]
    for label, kind in kinds:
        if kinds.count((label, kind)) > 1:
            raise InputError("group {label} appears twice with {kind}", "give one", label=label, kind=kind)


def _with(before: TaskResult | None, said: _Said, key: RoundKey) -> TaskResult:
    if before is None:
        return TaskResult(key, said.label, said.felt, said.hits, said.tries, points=said.points, lost=said.lost)
    if said.felt:
        return replace(before, felt=said.felt)
    if said.points is not None:
        return replace(before, points=said.points, lost=said.lost)
    return replace(before, hits=said.hits, tries=said.tries)


def _taken_back(record: ClassRecord, key: RoundKey, texts: Iterable[str]) -> list[TaskResult]:
    labels, known = _labels(record, key), _known(record, key)
    wanted = list(dict.fromkeys(_label(text.partition("=")[0], labels) for text in texts))
    missing = [label for label in wanted if label not in known]
    if missing:
        raise InputError("nothing was entered for group {missing} in this round", missing=", ".join(missing))
    return [known[label] for label in wanted]
