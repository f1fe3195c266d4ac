"""``grouper regroup``: fewer or more groups for an activity, as when a court is closed."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import change_and_show, class_argument, lesson_option
from grouper.model.record import ClassRecord
from grouper.planning.adjust import in_other_groups
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@click.option("--activity", required=True, metavar="NAME", help="Which activity of the lesson.")
@click.option("--groups", type=click.IntRange(min=1), metavar="K", help="How many groups there are to be.")
@click.option("--size", type=click.IntRange(min=1), metavar="S", help="Or how many people in a group.")
def command(class_path: Path, lesson: int, activity: str, groups: int | None, size: int | None) -> None:
    """Fewer and larger groups, or more and smaller ones, as when a court is closed; as few students move as can be."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        what = f"other groups in lesson {lesson} for {activity}"
        return in_other_groups(record, lesson, activity, groups, size), what

    change_and_show(class_path, verb)
