"""``grouper erase``: a student goes from every byte of the class file."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.asking import agreed
from grouper.faces.cli.common import class_argument, show
from grouper.faces.cli.students import student_meant
from grouper.faces.wording.changes import repair_lines
from grouper.faces.wording.privacy import elsewhere_lines, erasing_lines, left_lines
from grouper.files.store import ClassFile
from grouper.planning.attend import leaving_lesson, out_of_class
from grouper.privacy.erase import erasure_of


@click.command()
@class_argument
@click.argument("student", metavar="STUDENT")
@click.option("--yes", is_flag=True, help="Do it without asking.")
def command(class_path: Path, student: str, yes: bool) -> None:
    """Erase a student: name, id, ratings, requests and notes go for good, what others did with them still counts.

    Says first what will happen. It cannot be undone, and neither can any change from before.
    """
    file = ClassFile(class_path)
    found = file.read()
    person = found.record.roster.by_id[student_meant(found.record.roster, student)]
    would = erasing_lines(found.record, person, erasure_of(found.record, person.id), leaving_lesson(found.record))
    if not agreed(yes, (*would, *elsewhere_lines(file.backups)), f"Erase {person.name}?"):
        raise click.Abort
    repair = out_of_class(found.record, person.id)
    left = file.forget(person.id, repair.record, found.version)
    show(repair_lines(repair) if repair.changes else ())
    click.echo(f"Erased from {class_path}.")
    show(left_lines(left))
