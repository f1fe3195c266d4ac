"""``grouper sheets``: the printable sheets of a lesson."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, lesson_option
from grouper.files.store import ClassFile
from grouper.games.days.stale import stale_play


@click.command()
@class_argument
@lesson_option
@click.option(
    "--to", "folder", type=click.Path(path_type=Path), required=True, metavar="FOLDER", help="Where to write."
)
def command(class_path: Path, lesson: int, folder: Path) -> None:
    """Write the sheets of a lesson: one for the wall, safe for students to see, and one for the teacher alone.

    Games and stations of the lesson have sheets of their own, for the wall, the courts and the stations.
    """
    from grouper.faces.sheets.play_write import write_play_sheets
    from grouper.faces.sheets.write import write_sheets

    record = ClassFile(class_path).read().record
    record.lesson(lesson)
    if not record.plan.of_lesson(lesson):
        raise InputError(f"lesson {lesson} has no groups yet; grouper plan makes them")
    for path in (*write_sheets(record, lesson, folder), *write_play_sheets(record, lesson, folder)):
        click.echo(f"Written: {path}")
    for note in stale_play(record, lesson):
        click.echo(note)
