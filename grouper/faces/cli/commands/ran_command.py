"""``grouper ran``: a round was not as planned."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, found, lesson_option, show
from grouper.faces.wording.changes import change_lines
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.planning.adjust import rounds_meant
from grouper.planning.compare import changes_between
from grouper.planning.noting import noted
from grouper.planning.ran import moved, was_away

AWAY = "away"


@click.command()
@class_argument
@lesson_option
@click.option("--round", "number", type=int, metavar="K", help="One round of the lesson; all of them if left out.")
@click.argument("differed", metavar="[STUDENT=GROUP]...", nargs=-1)
@click.option("--note", metavar="TEXT", help="To remember of the round or lesson, for you alone; '' removes it.")
def command(class_path: Path, lesson: int, number: int | None, differed: tuple[str, ...], note: str | None) -> None:
    """Say what was not as planned in lesson N, before it is closed or long after; later plans build on it.

    STUDENT=4 was in group 4, STUDENT=away was not there. Nobody else is moved.
    """
    if not differed and note is None:
        raise click.UsageError("say who was elsewhere, such as Kim=4 or Kim=away, or give a --note")
    with ClassFile(class_path).change("") as edit:
        before = edit.record
        for text in differed:
            edit.record = _put_right(edit.record, lesson, number, text)
        if note is not None:
            edit.record = noted(edit.record, lesson, number or 0, note)
        where = f"lesson {lesson}" + (f", round {number}" if number else "")
        edit.what = f"{where} as it ran" if differed else f"note on {where}"
    for change in changes_between(before.plan, edit.record.plan):
        show(change_lines(edit.record, change))
    click.echo(f"{where[:1].upper()}{where[1:]}: {'put right' if differed else 'noted'}.")


def _put_right(record: ClassRecord, lesson: int, number: int | None, text: str) -> ClassRecord:
    who, equals, group = text.rpartition("=")
    if not equals or not who.strip() or not group.strip():
        raise InputError(f"'{text}' does not say who was where; write Kim=4, or Kim=away")
    (student,) = found(record, [who.strip()])
    keys = rounds_meant(record, lesson, number)
    if group.strip() == AWAY:
        return was_away(record, lesson, student, number or 1, number or len(keys))
    for key in keys:
        record = moved(record, key, student, group.strip())
    return record
