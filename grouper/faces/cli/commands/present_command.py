"""``grouper present``: students are there after all."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import change_and_show, class_argument, found, lesson_option, names, students_argument
from grouper.model.record import ClassRecord
from grouper.planning.attend import present
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@students_argument
def command(class_path: Path, lesson: int, students: tuple[str, ...]) -> None:
    """Take back that students are absent or aside, as when somebody comes late."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        return present(record, lesson, ids), f"present in lesson {lesson}: {names(record, ids)}"

    change_and_show(class_path, verb)
