"""``grouper step``: the teacher chooses a group's task, or asks for ways to make it easier or harder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, class_argument, lesson_option, show
from grouper.faces.views.student_lesson import lesson_names
from grouper.faces.views.tasks_of_class import round_lines
from grouper.faces.wording.tasks import settings_in_words, way_in_words, went_in_words
from grouper.files.store import ClassFile
from grouper.games.days.groups import labels_of, number_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import round_meant
from grouper.tasks.choose import as_suggested, ways, with_setting
from grouper.tasks.rounds import challenge_for

DIRECTIONS = ("easier", "harder")


@click.command()
@class_argument
@click.argument("choices", metavar="GROUP=SETTING...", nargs=-1, required=True)
@lesson_option
@click.option("--round", "number", type=COUNT, metavar="K", help="Which round of the lesson, where it has several.")
@click.option("--take-back", is_flag=True, help="The suggested task again for these groups; give them without =.")
def command(class_path: Path, choices: tuple[str, ...], lesson: int, number: int | None, take_back: bool) -> None:
    """Choose a group's task where you know better, such as: grouper step 7b.class --lesson 3 2=ball:small

    With 2=easier or 2=harder you see three ways, each another lever, the least to rearrange first, and nothing is
    changed. Otherwise the tasks of the round are shown then, for you alone. What was seen of the group in that round is
    of this task; the suggestions for later rounds follow it.
    """
    asked = [choice for choice in choices if choice.rpartition("=")[2].strip().casefold() in DIRECTIONS]
    if asked:
        record = ClassFile(class_path).read().record
        show(_ways(record, round_meant(record, lesson, number), asked))
        return
    with ClassFile(class_path).change(f"tasks chosen in lesson {lesson}") as edit:
        before = edit.record
        key = round_meant(before, lesson, number)
        for choice in choices:
            edit.record = _changed(edit.record, key, choice, take_back)
    show(round_lines(edit.record, key, lesson_names(edit.record, lesson)))
    show(_moved_results(before, edit.record))


def _moved_results(before: ClassRecord, after: ClassRecord) -> Iterator[str]:
    """What had been entered of a group, and is of another task now."""
    known = {(result.key, result.label): result for result in before.results}
    for result in after.results:
        was = known.get((result.key, result.label))
        if was is not None and was.at != result.at:
            challenge = challenge_for(after, result.key)
            at = settings_in_words(challenge, result.at) if challenge else "another task"
            yield f"What was entered for group {result.label}, {went_in_words(result)}, is of {at} now."


def _changed(record: ClassRecord, key: RoundKey, choice: str, take_back: bool) -> ClassRecord:
    group, sign, setting = (part.strip() for part in choice.partition("="))
    if take_back:
        return as_suggested(record, key, _label(record, key, group))
    if not (group and sign and setting):
        raise InputError("'{choice}' is no task for a group", "write it as 2=4 or as 2=ball:small", choice=choice)
    return with_setting(record, key, _label(record, key, group), setting)


def _ways(record: ClassRecord, key: RoundKey, asked: list[str]) -> Iterator[str]:
    """What would make a task easier or harder, each with how to choose it."""
    for choice in asked:
        group, _, direction = (part.strip() for part in choice.rpartition("="))
        label = _label(record, key, group)
        found = ways(record, key, label, harder=direction.casefold() == "harder")
        yield (
            f"Group {label}, {direction.casefold()}:" if found else f"Group {label}: nothing is {direction.casefold()}."
        )
        for way in found:
            yield f"  {label}={way.lever}:{way.setting}  {way_in_words(way)}"


def _label(record: ClassRecord, key: RoundKey, group: str) -> str:
    labels = labels_of(record.plan.by_key[key].groups)
    return labels[number_of(group, labels, "group") - 1]
