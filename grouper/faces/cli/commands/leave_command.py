"""``grouper leave``: a student has left."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import change_and_show, class_argument, lesson_option
from grouper.faces.cli.students import student_meant
from grouper.model.record import ClassRecord
from grouper.planning.attend import leave
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@click.argument("student", metavar="STUDENT")
def command(class_path: Path, lesson: int, student: str) -> None:
    """A student is gone from a lesson on; the past keeps them.

    That lesson is mended with fewest moves; later ones are planned again, with few changes.
    """

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        leaver = student_meant(record.roster, student)
        left = leave(record, leaver, lesson)
        in_it = left.record.roster.by_id[leaver].last_lesson == lesson
        when = f"after round {record.begun_in(lesson)} of" if in_it else "before"
        return left, f"left {when} lesson {lesson}: {record.roster.name(leaver)}"

    change_and_show(class_path, verb)
