"""What the commands share: arguments, reading files with their notes, and showing what was done."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from grouper.faces.cli.students import student_meant
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.planning.attend import usual_round
from grouper.planning.repair import Repair
from grouper.planning.requests import became_of_requests

class_argument = click.argument("class_path", metavar="CLASS", type=click.Path(path_type=Path))
lesson_option = click.option("--lesson", type=int, required=True, metavar="N", help="Number of the lesson.")
students_argument = click.argument("students", metavar="STUDENT...", nargs=-1, required=True)
from_round_option = click.option(
    "--from-round",
    type=int,
    metavar="K",
    help="The first round that they miss, counted over the whole lesson; if left out all that have not begun.",
)
up_to_round_option = click.option(
    "--up-to-round",
    "up_to",
    type=int,
    metavar="K",
    help="The lesson ended after its round K, counted over the whole lesson; what came after was not held.",
)
rest_to_option = click.option(
    "--rest-to", type=int, metavar="N", help="Put what was not held into lesson N, before what is planned there."
)
details_option = click.option("--details", is_flag=True, help="Show all that was understood of the files.")


def found(record: ClassRecord, students: Iterable[str]) -> tuple[str, ...]:
    """Ids of the students meant by ids or unique names, each once (InputError where one is not found)."""
    return tuple(dict.fromkeys(student_meant(record.roster, text) for text in students))


def names(record: ClassRecord, students: Iterable[str]) -> str:
    """The names of some students, for the log of changes."""
    return ", ".join(record.roster.name(student) for student in students)


def counts_from(record: ClassRecord, lesson: int, from_round: int | None) -> tuple[int, str]:
    """The round from which on a word counts, as given or else the next, and that in words; none for the first."""
    since = usual_round(record, lesson) if from_round is None else from_round
    return since, f" from round {since} on" if since > 1 else ""


def change_and_show(class_path: Path, verb: Callable[[ClassRecord], tuple[Repair, str]]) -> None:
    """Run a quick verb on the locked class file, save what it made, and show what changed."""
    from grouper.faces.wording.changes import repair_lines

    with ClassFile(class_path).change("") as edit:
        before = edit.record
        repair, edit.what = verb(before)
        edit.record = repair.record
    click.echo(f"{edit.what[:1].upper()}{edit.what[1:]}.")
    show(repair_lines(repair))
    show(became_of_requests(before, repair.record))


def not_closed_line(record: ClassRecord, lesson: int) -> Iterator[str]:
    """A word where what is said of a lesson comes before it is closed: perhaps another one was meant."""
    if lesson not in record.taught:
        yield (
            f"Lesson {lesson} is of the unit at hand and has not been closed; "
            f"grouper taught closes it, grouper undo takes this back."
        )


def show(lines: Iterable[str]) -> None:
    """Print lines."""
    for line in lines:
        click.echo(line)


@contextmanager
def progress(label: str) -> Iterator[Callable[[float, float], bool]]:
    """A progress bar on the terminal's error stream; nothing where there is no terminal."""
    stream = sys.stderr
    with click.progressbar(length=1000, label=label, file=stream, hidden=not stream.isatty()) as bar:
        yield _Watch(bar)


class _Watch:
    def __init__(self, bar: Any) -> None:
        self.bar = bar
        self.shown = 0

    def __call__(self, share: float, cost: float) -> bool:
        reached = round(1000 * share)
        self.bar.update(max(0, reached - self.shown))
        self.shown = max(self.shown, reached)
        return True
