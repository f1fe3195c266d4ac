"""``grouper pin``: a round stays as it is."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import COUNT, class_argument, lesson_option
from grouper.files.store import ClassFile
from grouper.planning.adjust import pinned


@click.command()
@class_argument
@lesson_option
@click.option("--round", "number", type=COUNT, metavar="K", help="One round of the lesson; all of them if left out.")
@click.option("--off", is_flag=True, help="Let the round go again.")
def command(class_path: Path, lesson: int, number: int | None, off: bool) -> None:
    """Keep a round as it is when the unit is planned again; absences are still mended."""
    which = f"lesson {lesson}" if number is None else f"lesson {lesson}, round {number}"
    word = "no longer pinned" if off else "pinned"
    with ClassFile(class_path).change(f"{which} {word}") as edit:
        edit.record = pinned(edit.record, lesson, number, not off)
    click.echo(f"{which.capitalize()} is {word}.")
