"""``grouper aside``: students are there and take no part."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import (
    change_and_show,
    class_argument,
    counts_from,
    found,
    from_round_option,
    lesson_option,
    names,
    students_argument,
)
from grouper.model.record import ClassRecord
from grouper.planning.attend import aside
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@students_argument
@from_round_option
@click.option("--role", default="scorer", show_default=True, help="What they do meanwhile.")
def command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None, role: str) -> None:
    """Students are there and take no part, for whatever reason; they get a role, and the groups are mended."""

    if not role.strip():
        raise click.BadParameter("give them something to do, such as scorer", param_hint="--role")

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        since, later = counts_from(record, lesson, from_round)
        return aside(record, lesson, ids, role.strip(), since), f"aside in lesson {lesson}{later}: {names(record, ids)}"

    change_and_show(class_path, verb)
