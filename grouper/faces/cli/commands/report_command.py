"""``grouper report``: evidence at the end of a unit, on a class or on one student."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument, student_meant
from grouper.faces.cli.play_options import FileOf
from grouper.files.store import ClassFile


@click.command()
@class_argument
@click.option("--to", "path", type=FileOf(".html", ".htm"), required=True, metavar="FILE.html", help="The file.")
@click.option("--nameless", is_flag=True, help="Without names, to share.")
@click.option("--whole", is_flag=True, help="The whole unit, lessons to come included.")
@click.option("--student", metavar="STUDENT", help="One student's page for the parents; nobody else is in it.")
@click.option("--ratings", is_flag=True, help="With the student's own ratings.")
def command(class_path: Path, path: Path, nameless: bool, whole: bool, student: str | None, ratings: bool) -> None:
    """Write a report to print: how fair it was, who met whom, turns, attendance, and for whom to care next.

    It goes over the lessons taught, or the whole unit as long as none is.
    """
    from grouper.faces.sheets.report import report_text, student_text, write_page

    if student is not None and nameless:
        raise click.UsageError("--student and --nameless cannot go together")
    if ratings and student is None:
        raise click.UsageError("--ratings goes with --student; a report on the class shows nobody's ratings")
    record = ClassFile(class_path).read().record
    if student is not None:
        text = student_text(record, student_meant(record.roster, student), class_path.stem, whole, ratings)
    else:
        text = report_text(record, class_path.stem, whole, with_names=not nameless)
    write_page(text, path)
    click.echo(f"Written: {path}")
