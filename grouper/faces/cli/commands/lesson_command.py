"""``grouper lesson``: the groups of a lesson in the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import LESSON, class_argument, show
from grouper.faces.wording.changes import NOBODY, group_in_words, held_lines, round_title
from grouper.files.store import ClassFile
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.planning.noting import note_of
from grouper.words import Said


@click.command()
@class_argument
@click.argument("number", metavar="[N]", type=LESSON, required=False)
@click.option("--lesson", type=LESSON, metavar="N", help="Number of the lesson, as with other commands; the same as N.")
def command(class_path: Path, number: int | None, lesson: int | None) -> None:
    """Show the groups of lesson N, round by round."""
    asked = {which for which in (number, lesson) if which is not None}
    if len(asked) != 1:
        raise click.UsageError("say which one lesson, such as: grouper lesson 7b.class 3")
    show(lesson_lines(ClassFile(class_path).read().record, asked.pop()))


def lesson_lines(record: ClassRecord, number: int) -> Iterator[str | Said]:
    """A title a round, and a line a group, in the order of their labels."""
    record.lesson(number)
    rounds = record.plan.of_lesson(number)
    if not rounds:
        raise InputError("lesson {number} has no groups yet", "grouper plan makes them", number=number)
    yield from _note_lines(record, number, 0)
    for round_ in rounds:
        marks = " (begun)" if record.has_begun(round_.key) else " (pinned)" if round_.pinned else ""
        yield round_title(record, round_.key) + marks
        if not round_.groups:
            yield f"  {NOBODY}"
        yield from (f"  {g.label:>3}  {group_in_words(record, g)}" for g in sorted(round_.groups, key=_by_label))
        yield from _note_lines(record, number, record.place_in_lesson(round_.key))
    yield from held_lines(record, number)


def _note_lines(record: ClassRecord, lesson: int, place: int) -> Iterator[str]:
    """What the teacher noted; the terminal is the teacher's."""
    note = note_of(record, lesson, place)
    if note:
        yield f"  note: {note}"


def _by_label(group: Group) -> tuple[int, str]:
    return (int(group.label) if group.label.isdigit() else 0, group.label)
