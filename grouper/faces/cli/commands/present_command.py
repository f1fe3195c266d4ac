"""``grouper present``: students are there after all."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import (
    COUNT,
    change_and_show,
    class_argument,
    counts_from,
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
    metavar="K",
    help="The first round that they are there for, over the whole lesson; if left out all that have not begun.",
)
def command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None) -> None:
    """Take back that students are absent or aside; with --from-round somebody came late, and earlier rounds stay."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        since, later = counts_from(record, lesson, from_round)
        what = f"present in lesson {lesson}{later}: {names(record, ids)}"
        return present(record, lesson, ids, since), what

    change_and_show(class_path, verb)
