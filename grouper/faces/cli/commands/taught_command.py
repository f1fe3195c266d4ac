"""``grouper taught``: a lesson is over."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument, lesson_option, show
from grouper.faces.wording.changes import change_lines, still_open_lines
from grouper.files.store import ClassFile
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import reopened, taught
from grouper.planning.compare import changes_between
from grouper.planning.requests import became_of_requests


@click.command()
@class_argument
@lesson_option
@click.option(
    "--groups",
    type=click.Path(path_type=Path),
    metavar="FILE.csv",
    help="The groups as they really were, in the columns of an export.",
)
@click.option("--take-back", is_flag=True, help="The lesson has not been taught after all.")
def command(class_path: Path, lesson: int, groups: Path | None, take_back: bool) -> None:
    """Close a lesson, as planned or as it really ran; later plans build on it and leave it alone.

    What was not so after all is put right with grouper ran, or with --groups again.
    """
    if take_back and groups:
        raise click.UsageError("--take-back and --groups cannot go together")
    with ClassFile(class_path).change(f"lesson {lesson} taught") as edit:
        before = edit.record
        if take_back:
            edit.record, edit.what = reopened(edit.record, lesson), f"lesson {lesson} not taught after all"
        else:
            edit.record = taught(edit.record, lesson, _as_it_ran(groups, edit.record))
    click.echo(f"Lesson {lesson} is {'open again' if take_back else 'closed'}.")
    show(still_open_lines(edit.record, lesson) if not take_back else ())
    for change in changes_between(before.plan, edit.record.plan):
        show(change_lines(edit.record, change))
    show(became_of_requests(before, edit.record))


def _as_it_ran(groups: Path | None, record: ClassRecord) -> dict[RoundKey, tuple[Group, ...]] | None:
    if groups is None:
        return None
    from grouper.files.groups import read_groups

    return read_groups(groups, record)
