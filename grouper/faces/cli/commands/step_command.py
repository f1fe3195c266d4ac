"""``grouper step``: the teacher chooses the step of a group's task."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import COUNT, class_argument, lesson_option, show
from grouper.faces.views.student_lesson import lesson_names
from grouper.faces.views.tasks_of_lesson import round_lines
from grouper.faces.wording.tasks import went_in_words
from grouper.files.store import ClassFile
from grouper.games.days.groups import labels_of, number_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import round_meant
from grouper.tasks.choose import as_suggested, with_step


@click.command()
@class_argument
@click.argument("choices", metavar="GROUP=STEP...", nargs=-1, required=True)
@lesson_option
@click.option("--round", "number", type=COUNT, metavar="K", help="Which round of the lesson, where it has several.")
@click.option("--take-back", is_flag=True, help="The suggested step again for these groups; give them without =.")
def command(class_path: Path, choices: tuple[str, ...], lesson: int, number: int | None, take_back: bool) -> None:
    """Choose the step of a group's task where you know better, such as: grouper step 7b.class --lesson 3 2=4

    Shows the tasks of the round then, for you alone. What was seen of the group in that round is of this step; the
    suggestions for later rounds follow it.
    """
    with ClassFile(class_path).change(f"tasks chosen in lesson {lesson}") as edit:
        before = edit.record
        key = round_meant(before, lesson, number)
        for choice in choices:
            edit.record = _changed(edit.record, key, choice, take_back)
    show(round_lines(edit.record, key, lesson_names(edit.record, lesson)))
    show(_moved_results(before, edit.record))


def _moved_results(before: ClassRecord, after: ClassRecord) -> Iterator[str]:
    """What had been entered of a group, and is of another step now."""
    known = {(result.key, result.label): result for result in before.results}
    for result in after.results:
        was = known.get((result.key, result.label))
        if was is not None and was.step != result.step:
            yield f"What was entered for group {result.label}, {went_in_words(result)}, is of step {result.step} now."


def _changed(record: ClassRecord, key: RoundKey, choice: str, take_back: bool) -> ClassRecord:
    group, sign, step = (part.strip() for part in choice.rpartition("="))
    if take_back:
        return as_suggested(record, key, _label(record, key, group if sign else step))
    if not (group and step.isascii() and step.isdecimal() and len(step) < 4):
        raise InputError("'{choice}' is no step for a group", "write it as GROUP=STEP, such as 2=4", choice=choice)
    return with_step(record, key, _label(record, key, group), int(step))


def _label(record: ClassRecord, key: RoundKey, group: str) -> str:
    labels = labels_of(record.plan.by_key[key].groups)
    return labels[number_of(group, labels, "group") - 1]
