"""``grouper adapt``: what is always kept for one child, whatever the group and the task."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, show, student_meant
from grouper.faces.cli.play_options import file_type
from grouper.faces.views.tasks_of_class import adaptation_lines
from grouper.files.levers import read_adaptations
from grouper.files.store import ClassFile
from grouper.model.levers import Adaptation
from grouper.model.record import ClassRecord
from grouper.tasks.adapt import adapted, not_adapted


@click.command()
@class_argument
@click.argument("student", required=False)
@click.option("--always", multiple=True, metavar="WHAT", help="A setting that is kept, such as 'large ball'.")
@click.option("--never", multiple=True, metavar="WHAT", help="A setting that is not used, such as 'hopping'.")
@click.option("--also", multiple=True, metavar="WORDS", help="Words that go with every task, such as 'seated'.")
@click.option("--not-at", multiple=True, metavar="STATION", help="A station without them, by number or name.")
@click.option("--off", metavar="WHAT", help="No longer this; 'all' for all that is kept for the student.")
@click.option("--table", type=file_type, metavar="FILE", help="Take in a table student,kind,what.")
def command(
    class_path: Path,
    student: str | None,
    always: tuple[str, ...],
    never: tuple[str, ...],
    also: tuple[str, ...],
    not_at: tuple[str, ...],
    off: str | None,
    table: Path | None,
) -> None:
    """Keep something for one child, such as: grouper adapt 7b.class Kim --always "large ball" --also seated

    Without STUDENT it lists what is kept. There is no place for a reason. It is kept in every task of theirs, in
    repairs and new plans too; their group sees nothing but the task.
    """
    said = [
        (kind, what)
        for kind, whats in (("always", always), ("never", never), ("also", also), ("not at", not_at))
        for what in whats
    ]
    if student is None and (said or off):
        raise InputError("say for whom: grouper adapt CLASS STUDENT ...")
    if not (said or off or table):
        record = ClassFile(class_path).read().record
        meant = student_meant(record.roster, student) if student else None
        own = tuple(one for one in record.adaptations if meant in (None, one.student))
        lines = list(adaptation_lines(record, own))
        show(lines or ["Nothing is kept for anybody." if meant is None else "Nothing is kept."])
        return
    with ClassFile(class_path).change("what is kept for a student") as edit:
        edit.record = _changed(edit.record, student, said, off, table)
    show(adaptation_lines(edit.record, edit.record.adaptations))


def _changed(
    record: ClassRecord, student: str | None, said: list[tuple[str, str]], off: str | None, table: Path | None
) -> ClassRecord:
    if table:
        rows = read_adaptations(table)
        record = adapted(
            record, [Adaptation(student_meant(record.roster, who), kind, what) for who, kind, what in rows]
        )
    if student is None:
        return record
    meant = student_meant(record.roster, student)
    if off:
        record = not_adapted(record, meant, "" if off.casefold() == "all" else off)
    return adapted(record, [Adaptation(meant, kind, what) for kind, what in said])
