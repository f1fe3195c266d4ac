"""``grouper taught``: a lesson is over."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument, lesson_option, rest_to_option, show, up_to_round_option
from grouper.faces.wording.changes import change_lines, held_lines, rest_twice_lines, still_open_lines
from grouper.files.store import ClassFile
from grouper.model.held import held_up_to, whole
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import reopened, taught
from grouper.planning.admit import with_rest
from grouper.planning.requests import became_of_requests
from grouper.planning.reshape import changes_in


@click.command()
@class_argument
@lesson_option
@click.option(
    "--groups",
    type=click.Path(path_type=Path),
    metavar="FILE.csv",
    help="The groups as they really were, in the columns of an export.",
)
@up_to_round_option
@rest_to_option
@click.option("--take-back", is_flag=True, help="The lesson has not been taught after all, or has not begun.")
def command(
    class_path: Path, lesson: int, groups: Path | None, up_to: int | None, rest_to: int | None, take_back: bool
) -> None:
    """Close a lesson, as planned or as it really ran; later plans build on it and leave it alone.

    Where the bell rang early, --up-to-round K: rounds after K count nowhere. What was not so after all is put right
    with grouper ran, or with --groups or --up-to-round again.
    """
    if take_back and (groups or up_to is not None or rest_to is not None):
        raise click.UsageError("--take-back stands alone")
    file = ClassFile(class_path)
    if take_back and _has_only_begun(file, lesson):
        file.begin(lesson, 0)
        click.echo(f"No round of lesson {lesson} has begun; plans may change it again.")
        return
    with file.change(f"lesson {lesson} taught") as edit:
        before = edit.record
        if take_back:
            edit.record, edit.what = reopened(edit.record, lesson), f"lesson {lesson} not taught after all"
        else:
            edit.record = taught(edit.record, lesson, _as_it_ran(groups, edit.record, lesson, up_to), up_to)
            edit.what += f" up to round {up_to}" if up_to is not None else ""
            edit.record = with_rest(edit.record, lesson, rest_to) if rest_to is not None else edit.record
    click.echo(f"Lesson {lesson} is {'open again' if take_back else 'closed'}.")
    show(held_lines(edit.record, lesson))
    show(rest_twice_lines(before, edit.record, lesson))
    show(still_open_lines(edit.record, lesson) if not take_back else ())
    for change in changes_in(before, edit.record):
        show(change_lines(edit.record, change))
    show(became_of_requests(before, edit.record))


def _has_only_begun(file: ClassFile, lesson: int) -> bool:
    record = file.read().record
    record.lesson(lesson)
    return lesson not in record.taught and record.begun_in(lesson) > 0


def _as_it_ran(
    groups: Path | None, record: ClassRecord, lesson: int, up_to: int | None
) -> dict[RoundKey, tuple[Group, ...]] | None:
    if groups is None:
        return None
    from grouper.files.groups import check_every_round, read_groups

    meant = record if up_to is None else held_up_to(record, lesson, up_to)
    read = read_groups(groups, whole(record))
    check_every_round(groups, read, meant, lesson)
    return read
