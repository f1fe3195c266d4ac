"""``grouper absent``: students are away from a lesson."""

from __future__ import annotations

from dataclasses import replace
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
from grouper.planning.attend import absent
from grouper.planning.repair import Repair


@click.command()
@class_argument
@lesson_option
@students_argument
@from_round_option
@click.option("--best", is_flag=True, help="Make this lesson's groups as good as can be, whoever has to move.")
@click.option("--rest", is_flag=True, help="Improve the later lessons too, with what is known now.")
def command(
    class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None, best: bool, rest: bool
) -> None:
    """Students are away from a lesson; its groups are mended with as few moves as can be.

    Students by id or by a name that is unique, as it stands on the roster or on the sheets; names with a space in
    quotation marks. A lesson that was taught is put right with grouper ran.
    """

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        since, later = counts_from(record, lesson, from_round)
        repair = absent(record, lesson, ids, since)
        if best:
            repair = _as_good_as_can_be(record, repair, lesson, since)
        if rest:
            repair = _with_better_rest(repair, lesson)
        return repair, f"absent in lesson {lesson}{later}: {names(record, ids)}"

    change_and_show(class_path, verb)


def _as_good_as_can_be(before: ClassRecord, repair: Repair, lesson: int, since: int) -> Repair:
    from grouper.planning.partial import improve_lesson
    from grouper.planning.reshape import changes_between

    improved = improve_lesson(repair.record, lesson, since).record
    return replace(repair, record=improved, changes=changes_between(before.plan, improved.plan))


def _with_better_rest(repair: Repair, lesson: int) -> Repair:
    from grouper.faces.wording.changes import rest_line
    from grouper.planning.partial import improve_rest

    improved = improve_rest(repair.record, after=lesson)
    return replace(repair, record=improved.record, remarks=(*repair.remarks, rest_line(improved.changes)))
