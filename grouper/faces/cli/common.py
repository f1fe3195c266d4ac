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
from grouper.files.atomic import refuse_class_file
from grouper.files.names import students_named
from grouper.files.store import ClassFile
from grouper.games.days.groups import labels_of, number_of, stale_play
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.texts import MOST_LESSONS, MOST_MINUTES, MOST_NUMBER, MOST_PEOPLE, MOST_SEED
from grouper.model.unit import RoundKey
from grouper.planning.repair import Repair
from grouper.planning.requests import became_of_requests
from grouper.words import Said


def tell_of_file(_path: Path, what: str) -> None:
    """Say on the error stream what the class file has to tell that nobody asked for."""
    click.echo(f"{what}.", err=True)


ClassFile.tell = tell_of_file


def student_meant(roster: Roster, text: str) -> str:
    """The id of the student with this id, this name, or this name as it stands on the sheets; or a unique first name
    (InputError, with those who could be meant, where it is not one).
    """
    try:
        return roster.find(text).id
    except InputError as error:
        near = _by_short_name(roster, text) or [student.id for student in students_named(roster, text)]
        if len(near) == 1:
            return near[0]
        if not near:
            raise
        could_be = " or ".join(f"{roster.name(student)} ({student})" for student in near)
        raise InputError(
            "'{text}' could be {could_be}", "give the whole name, or the id", text=text, could_be=could_be
        ) from error


def _by_short_name(roster: Roster, text: str) -> list[str]:
    from grouper.faces.views.names import display_names, folded, full_name, given_name

    wanted = folded(" ".join(text.split()).rstrip("."))
    names = display_names(roster.active, roster.in_unit)
    numbered = [student.id for student in roster.active if folded(roster.name(student.id)) == wanted]
    shown = numbered or [student for student, name in names.items() if folded(name.rstrip(".")) == wanted]
    given = [student.id for student in roster.active if folded(given_name(full_name(student))) == wanted]
    return shown or given


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
    """A part of a whole, from '80%' or '0.8'; whether it is one that makes sense is asked where it is used (InputError
    where it is no number).
    """
    text = str(value).strip()
    try:
        return float(text.removesuffix("%")) / (100 if text.endswith("%") else 1)
    except ValueError:
        raise InputError("'{value}' is no share", "write it as 80% or 0.8", value=value) from None


KINDS = "pdf doc docx odt rtf xls xlsx ods csv tsv json xml ics svg png jpg jpeg html htm class zip"
OTHER_KINDS = frozenset(f".{kind}" for kind in KINDS.split())
"""Endings that promise a kind of file; one of them on a file of another kind would not open."""


class FileOf(click.Path):
    """A file to be written of one kind; a name that ends as another kind does is refused, and any other is fine."""

    def __init__(self, *endings: str) -> None:
        super().__init__(path_type=Path)
        self.endings = endings

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        path = Path(str(super().convert(value, param, ctx)))
        refuse_class_file(path)
        ending = path.suffix.lower()
        if ending in OTHER_KINDS and ending not in self.endings:
            print_it = "; open it and print it to a PDF" if ending == ".pdf" and ".html" in self.endings else ""
            kinds = " or ".join(self.endings)
            raise InputError(
                "'{name}': what is written is {kinds}, not {ending}",
                "end the name so{print_it}",
                name=path.name,
                kinds=kinds,
                ending=ending,
                print_it=print_it,
            )
        return path


LESSON = Range(1, MOST_LESSONS)
COUNT = Range(0, MOST_PEOPLE)
"""How many, or the number of a round, a court or a slot."""

PEOPLE = Range(1, MOST_PEOPLE, strict=True)
"""How many groups, or people in one."""

SEED = Range(0, MOST_SEED, strict=True)
POINTS = Range(-MOST_NUMBER, MOST_NUMBER, whole=False)
MINUTES = Range(0, MOST_MINUTES, whole=False)

file_type = click.Path(path_type=Path)
class_argument = click.argument("class_path", metavar="CLASS", type=file_type)
optional_class_argument = click.argument("class_path", metavar="[CLASS]", required=False, type=file_type)
which_lesson_option = click.option("--lesson", type=LESSON, metavar="N", help="Number of the lesson, with CLASS.")
activity_option = click.option(
    "--activity", metavar="NAME", help="Which activity of the lesson; not needed where there is just one."
)
round_option = click.option(
    "--round", "number", type=COUNT, default=1, metavar="K", help="Whose groups play; those of round 1 if left out."
)
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
one_round_option = click.option(
    "--round", "number", type=COUNT, metavar="K", help="One round of the lesson; all of them if left out."
)
which_round_option = click.option(
    "--round", "number", type=COUNT, metavar="K", help="Which round of the lesson, where it has several."
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


def change_and_show(class_path: Path, verb: Callable[[ClassRecord], tuple[Repair, str]]) -> None:
    """Run a quick verb on the locked class file, save what it made, and show what changed."""
    from grouper.faces.wording.changes import repair_lines

    with ClassFile(class_path).change("") as edit:
        before = edit.record
        repair, edit.what = verb(before)
        edit.record = with_rotations_kept(repair.record, before)
    click.echo(f"{edit.what[:1].upper()}{edit.what[1:]}.")
    show(repair_lines(repair))
    show_beside(before, edit.record)


def show_beside(before: ClassRecord, after: ClassRecord) -> None:
    """Show what a change did beside what it was for: to requests, and to games and stations of other groups."""
    show(became_of_requests(before, after))
    show(stale_play(after, before=before))


def with_rotations_kept(record: ClassRecord, before: ClassRecord) -> ClassRecord:
    """The record with rotations that still keep a child from a station; most classes have no such child."""
    if all(one.kind != "not at" for one in record.adaptations) or not record.events:
        return record
    # It brings what plans games, and the everyday commands are quicker than that is loaded.
    from grouper.tasks.adapt import rotations_kept

    return rotations_kept(record, before)


def label_meant(record: ClassRecord, key: RoundKey, group: str) -> str:
    """The label of a group of a round, as it is called on the sheets (InputError where there is none)."""
    labels = labels_of(record.plan.by_key[key].groups)
    return labels[number_of(group, labels, "group") - 1]


def not_closed_line(record: ClassRecord, lesson: int) -> Iterator[str]:
    """A word where what is said of a lesson comes before it is closed: perhaps another one was meant."""
    if lesson not in record.taught:
        yield (
            f"Lesson {lesson} of this unit has not been closed; grouper taught closes it, grouper undo takes this back."
        )


def agreed(yes: bool, would: Iterable[str | Said], question: str) -> bool:
    """Whether to go on: after ``--yes``, or after a yes on the terminal to what would happen (InputError where there is
    nobody to ask).
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

        def watch(share: float, _cost: float) -> bool:
            bar.update(max(0, round(1000 * share) - bar.pos))
            return True

        yield watch
