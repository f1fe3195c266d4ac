"""``grouper present``: students are there after all."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import (
    COUNT,
    change_and_show,
    class_argument,
    found,
    lesson_option,
    names,
    students_argument,
)
from grouper.model.record import ClassRecord
from grouper.planning.attend import present
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@students_argument
@click.option(
    "--from-round",
    type=COUNT,
    default=1,
    metavar="K",
    help="The first round that they are there for, counted over the whole lesson; all rounds if left out.",
)
def command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int) -> None:
    """Take back that students are absent or aside; with --from-round somebody came late, and earlier rounds stay."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        later = f" from round {from_round} on" if from_round > 1 else ""
        what = f"present in lesson {lesson}{later}: {names(record, ids)}"
        return present(record, lesson, ids, from_round), what

    change_and_show(class_path, verb)
