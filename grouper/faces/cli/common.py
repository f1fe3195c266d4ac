"""What the commands share: arguments, which student is meant, reading with a lock, and showing what was done."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from math import nan
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli.remedies import COMMANDS
from grouper.faces.cli.terminal import bare
from grouper.faces.wording.telling import told
from grouper.files.names import students_named
from grouper.files.store import ClassFile
from grouper.games.days.groups import stale_play
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.texts import MOST_LESSONS, MOST_MINUTES, MOST_NUMBER, MOST_PEOPLE, MOST_SEED
from grouper.planning.attend import usual_round
from grouper.planning.repair import Repair
from grouper.planning.requests import became_of_requests
from grouper.words import Said


def tell_of_file(_path: Path, what: str) -> None:
    """Say on the error stream what the class file has to tell that nobody asked for."""
    click.echo(f"{what}.", err=True)


ClassFile.tell = tell_of_file


def student_meant(roster: Roster, text: str) -> str:
    """The id of the student with this id, this name, or this name as it stands on the sheets; or a unique first name.

    Raises
    ------
    InputError
        Nobody, or more than one, is meant; the message lists who could be.
    """
    try:
        return roster.find(text).id
    except InputError as error:
        near = _by_short_name(roster, text) or [student.id for student in students_named(roster, text)]
        if len(near) == 1:
            return near[0]
        if not near:
            raise
        raise InputError(_which_of(roster, text, near)) from error


def _by_short_name(roster: Roster, text: str) -> list[str]:
    from grouper.faces.views.names import display_names, folded, full_name, given_name

    wanted = folded(" ".join(text.split()).rstrip("."))
    names = display_names(roster.active, roster.in_unit)
    numbered = [student.id for student in roster.active if folded(roster.name(student.id)) == wanted]
    shown = numbered or [student for student, name in names.items() if folded(name.rstrip(".")) == wanted]
    given = [student.id for student in roster.active if folded(given_name(full_name(student))) == wanted]
    return shown or given


def _which_of(roster: Roster, text: str, near: list[str]) -> str:
    could_be = " or ".join(f"{roster.name(student)} ({student})" for student in near)
    return f"'{text}' could be {could_be}; give the whole name, or the id"


class Range(click.FloatRange):
    """A number within a range, whole or not; what lies beyond, and what is no number, is refused in a sentence.

    A number just below the range is let through, unless it is ``strict``: what it is for says why it cannot be.
    """

    def __init__(self, least: float, most: float, whole: bool = True, strict: bool = False) -> None:
        super().__init__(least, most)
        self.least, self.most, self.whole, self.strict = least, most, whole, strict

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The number (InputError where it is none of the range)."""
        try:
            number = int(value) if self.whole else float(value)
        except (ValueError, OverflowError):
            number = nan
        if (self.least if self.strict else -self.most) <= number <= self.most:
            return number
        kind = "a whole number" if self.whole else "a number"
        option = param.opts[0] if param is not None and param.opts else "this"
        raise InputError(
            "{option} cannot be '{value}'",
            "use {kind} from {least:,} to {most:,}",
            option=option,
            value=value,
            kind=kind,
            least=self.least,
            most=self.most,
        )


def share(value: str | float) -> float:
    """A part of a whole, from '80%' or '0.8'; whether it is one that makes sense is asked where it is used.

    Raises
    ------
    InputError
        It is no number.
    """
    text = str(value).strip()
    try:
        return float(text.removesuffix("%")) / (100 if text.endswith("%") else 1)
    except ValueError:
        raise InputError("'{value}' is no share", "write it as 80% or 0.8", value=value) from None


LESSON = Range(1, MOST_LESSONS)
COUNT = Range(0, MOST_PEOPLE)
"""How many, or the number of a round, a court or a slot."""

PEOPLE = Range(1, MOST_PEOPLE, strict=True)
"""How many groups, or people in one."""

SEED = Range(0, MOST_SEED, strict=True)
POINTS = Range(-MOST_NUMBER, MOST_NUMBER, whole=False)
MINUTES = Range(0, MOST_MINUTES, whole=False)

class_argument = click.argument("class_path", metavar="CLASS", type=click.Path(path_type=Path))
lesson_option = click.option("--lesson", type=LESSON, required=True, metavar="N", help="Number of the lesson.")
students_argument = click.argument("students", metavar="STUDENT...", nargs=-1, required=True)
from_round_option = click.option(
    "--from-round",
    type=COUNT,
    metavar="K",
    help="The first round that they miss, counted over the whole lesson; if left out all that have not begun.",
)
up_to_round_option = click.option(
    "--up-to-round",
    "up_to",
    type=COUNT,
    metavar="K",
    help="The lesson ended after its round K, counted over the whole lesson; what came after was not held.",
)
rest_to_option = click.option(
    "--rest-to", type=LESSON, metavar="N", help="Put what was not held into lesson N, before what is planned there."
)
scale_option = click.option(
    "--scale",
    metavar="WORD=N,...",
    help="What ratings in words are worth: weak=1,fair=2,good=4 (more is stronger); remembered.",
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
        edit.record = with_rotations_kept(repair.record, before)
    click.echo(f"{edit.what[:1].upper()}{edit.what[1:]}.")
    show(repair_lines(repair))
    show(became_of_requests(before, repair.record))
    show(stale_play(edit.record, before=before))


def with_rotations_kept(record: ClassRecord, before: ClassRecord) -> ClassRecord:
    """The record with rotations that still keep a child from a station; most classes have no such child."""
    if all(one.kind != "not at" for one in record.adaptations) or not record.events:
        return record
    from grouper.tasks.adapt import rotations_kept

    return rotations_kept(record, before)


def not_closed_line(record: ClassRecord, lesson: int) -> Iterator[str]:
    """A word where what is said of a lesson comes before it is closed: perhaps another one was meant."""
    if lesson not in record.taught:
        yield (
            f"Lesson {lesson} of this unit has not been closed; grouper taught closes it, grouper undo takes this back."
        )


def agreed(yes: bool, would: Iterable[str | Said], question: str) -> bool:
    """Whether to go on: after ``--yes``, or after a yes on the terminal to what would happen.

    Raises
    ------
    InputError
        There is nobody to ask: what would happen has been said, and nothing has been done.
    """
    show(would)
    if yes:
        return True
    if not sys.stdin.isatty():
        raise InputError("nothing was changed; add --yes to do it")
    return click.confirm(question)


def show(lines: Iterable[str | Said]) -> None:
    """Print lines, and what verbs said, with what can be done about it as commands."""
    for line in lines:
        click.echo(told(line, COMMANDS) if isinstance(line, Said) else line)


@contextmanager
def progress(label: str) -> Iterator[Callable[[float, float], bool]]:
    """A progress bar on the terminal's error stream; nothing where there is no terminal."""
    stream = bare(sys.stderr)
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
