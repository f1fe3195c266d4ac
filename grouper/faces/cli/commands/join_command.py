"""``grouper join``: a student is new."""

from __future__ import annotations

from math import isfinite, nan
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import change_and_show, class_argument, lesson_option
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.attend import check_name, join, namesakes
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@click.argument("name")
@click.option("--id", "student_id", metavar="ID", help="The school's id; one is made if left out.")
@click.option("--namesake", is_flag=True, help="Another student of this name is or was in the class.")
@click.option("--rating", "ratings", multiple=True, metavar="STRAND=NUMBER", help="A rating; may be given again.")
def command(
    class_path: Path, lesson: int, name: str, student_id: str | None, namesake: bool, ratings: tuple[str, ...]
) -> None:
    """A student is new in the class from a lesson on.

    That lesson is mended with fewest moves; later ones are planned again, with few changes. Who comes back gets the
    --id that they had, and everything that is theirs.
    """
    given = dict(_rating(text) for text in ratings)
    name = " ".join(name.split())
    check_name(name)

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        if not namesake:
            _refuse_known(record, name, student_id or "")
        rated = {_strand(record, text): value for text, value in given.items()}
        student = Student(student_id or _new_id(record), name, rated)
        return join(record, student, lesson), f"joined in lesson {lesson}: {student.name}"

    change_and_show(class_path, verb)


def _refuse_known(record: ClassRecord, name: str, student_id: str) -> None:
    """A name that is known may be somebody who is there, or is back: that is for the teacher to say."""
    known = namesakes(record, name, student_id)
    if known and known[0].archived:
        back = f"add --id {known[0].id} if {known[0].name} is back, or --namesake for another student of that name"
        raise InputError("{name} has been in the class before", back, name=known[0].name)
    if known:
        other = "write a second name that tells the two apart, or add --namesake"
        raise InputError("{name} ({id}) is in the class already", other, name=known[0].name, id=known[0].id)


def _rating(text: str) -> tuple[str, float]:
    strand, sign, number = text.rpartition("=")
    try:
        value = float(number.replace(",", "."))
    except ValueError:
        value = nan
    if not sign or not strand.strip() or not isfinite(value):
        raise click.BadParameter(f"'{text}' is not STRAND=NUMBER", param_hint="--rating")
    return strand.strip(), value


def _strand(record: ClassRecord, text: str) -> str:
    """The strand of the class that is meant, upper and lower case alike."""
    for strand in record.roster.strands:
        if strand.casefold() == text.casefold():
            return strand
    have = ", ".join(record.roster.strands) or "none"
    raise InputError("the class has no strand '{text}'", "its strands are: {have}", text=text, have=have)


def _new_id(record: ClassRecord) -> str:
    number = len(record.roster.students) + 1
    while f"new-{number}" in record.roster.by_id:
        number += 1
    return f"new-{number}"
