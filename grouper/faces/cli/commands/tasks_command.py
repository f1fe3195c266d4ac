"""``grouper tasks``: a task that fits for each group, and the ladders that tasks come from."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import details_option, show
from grouper.faces.cli.play_options import (
    FileOf,
    activity_option,
    file_type,
    optional_class_argument,
    which_lesson_option,
)
from grouper.faces.cli.share import share
from grouper.faces.views.tasks_of_lesson import lesson_lines, match_lines
from grouper.faces.wording.telling import reading_lines
from grouper.files.ladders import default_ladders, read_ladders, write_ladders
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.tasks.ladders_kept import copied, merged, with_success, without


@click.command()
@optional_class_argument
@which_lesson_option
@activity_option
@click.option("--ladders", type=file_type, metavar="FILE", help="Take in tasks from CSV or XLSX; others stay.")
@click.option(
    "--write",
    type=FileOf(".csv"),
    metavar="FILE.csv",
    help="Write the CLASS's tasks, or those that come along, to change.",
)
@click.option("--like", metavar="NAME", help="Give --activity the tasks that come along under this name.")
@click.option("--off", is_flag=True, help="No tasks for --activity any more.")
@click.option("--success", type=share, metavar="SHARE", help="The share of attempts that should succeed, such as 80%.")
@details_option
def command(
    class_path: Path | None,
    lesson: int | None,
    activity: str | None,
    ladders: Path | None,
    write: Path | None,
    like: str | None,
    off: bool,
    success: float | None,
    details: bool,
) -> None:
    """Show a task that fits for each group of lesson N, with step and reason, for you alone.

    The tasks come from ladders, from easy to hard, one for each activity that has one. Write those that come along
    with --write FILE.csv, change them as you like, and take them in with --ladders FILE.csv.
    """
    chosen = [given for given in (ladders, write, like, off or None, success, lesson) if given is not None]
    if len(chosen) != 1:
        raise click.UsageError("give one of --lesson, --ladders, --write, --like, --off, --success")
    if write is not None:
        _write(class_path, write)
    elif class_path is None:
        raise InputError("tasks belong to a class; give the CLASS file first")
    elif ladders is not None:
        _take_in(class_path, ladders, details)
    elif lesson is not None:
        show(lesson_lines(ClassFile(class_path).read().record, lesson, activity))
    elif success is not None:
        _change(class_path, f"{success:.0%} of attempts should succeed", lambda record: with_success(record, success))
    elif activity is None:
        raise InputError("say for which activity: --activity NAME")
    elif like is not None:
        _change(class_path, f"tasks for '{activity}'", lambda record: copied(record, activity, like, default_ladders()))
    else:
        _change(class_path, f"no tasks for '{activity}'", lambda record: without(record, activity))


def _write(class_path: Path | None, file: Path) -> None:
    own = ClassFile(class_path).read().record.ladders if class_path else ()
    write_ladders(file, own or default_ladders())
    click.echo(f"Written: {file} ({'the tasks of the class' if own else 'the tasks that come along'})")


def _take_in(class_path: Path, file: Path, details: bool) -> None:
    reading = read_ladders(file)
    show(reading_lines("Tasks", reading.summary, reading.notes, details))
    _change(class_path, f"tasks from {file.name}", lambda record: merged(record, reading.ladders))


def _change(class_path: Path, what: str, verb: Callable[[ClassRecord], ClassRecord]) -> None:
    with ClassFile(class_path).change(what) as edit:
        edit.record = verb(edit.record)
    click.echo(f"{what[:1].upper()}{what[1:]}.")
    show(match_lines(edit.record))
