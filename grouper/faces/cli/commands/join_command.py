"""``grouper join``: a student is new."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import change_and_show, class_argument, lesson_option
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.attend import join
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@click.argument("name")
@click.option("--id", "student_id", metavar="ID", help="The school's id; one is made if left out.")
@click.option("--rating", "ratings", multiple=True, metavar="STRAND=NUMBER", help="A rating; may be given again.")
def command(class_path: Path, lesson: int, name: str, student_id: str | None, ratings: tuple[str, ...]) -> None:
    """A student is new in the class from a lesson on; groups not yet taught are mended with fewest moves."""
    rated = dict(_rating(text) for text in ratings)

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        student = Student(student_id or _new_id(record), name, rated)
        return join(record, student, lesson), f"joined in lesson {lesson}: {name}"

    change_and_show(class_path, verb)


def _rating(text: str) -> tuple[str, float]:
    strand, sign, number = text.rpartition("=")
    try:
        value = float(number.replace(",", "."))
    except ValueError:
        sign = ""
    if not sign or not strand:
        raise click.BadParameter(f"'{text}' is not STRAND=NUMBER", param_hint="--rating")
    return strand.strip(), value


def _new_id(record: ClassRecord) -> str:
    number = len(record.roster.students) + 1
    while f"new-{number}" in record.roster.by_id:
        number += 1
    return f"new-{number}"
