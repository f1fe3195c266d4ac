"""On the day: who is away, there after all or aside, who joins or leaves, and groups changed by hand."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite, nan
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import (
    COUNT,
    change_and_show,
    class_argument,
    counts_from,
    found,
    from_round_option,
    lesson_option,
    names,
    show,
    student_meant,
    students_argument,
)
from grouper.faces.cli.remedies import said_lines
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.adjust import in_other_groups, pinned, swapped
from grouper.planning.attend import absent, aside, check_name, join, leave, namesakes, present
from grouper.planning.repair import Repair
from grouper.words import Said


@click.command()
@class_argument
@lesson_option
@students_argument
@from_round_option
@click.option("--best", is_flag=True, help="Make this lesson's groups as good as can be, whoever has to move.")
@click.option("--rest", is_flag=True, help="Improve the later lessons too, with what is known now.")
def absent_command(
    class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None, best: bool, rest: bool
) -> None:
    """Students are away from a lesson; its groups are mended with as few moves as can be.

    Students by id or by a name that is unique, as it stands on the roster or on the sheets; names with a space in
    quotation marks. A lesson that was taught is corrected with grouper ran.
    """

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        since, later = counts_from(record, lesson, from_round)
        repair = absent(record, lesson, ids, since)
        if best:
            repair = _as_good_as_can_be(record, repair, lesson, since, rest)
        if rest:
            record, better = with_better_rest(repair.record, lesson)
            repair = replace(repair, record=record, remarks=(*repair.remarks, better))
        return repair, f"absent in lesson {lesson}{later}: {names(record, ids)}"

    change_and_show(class_path, verb)


def _as_good_as_can_be(before: ClassRecord, repair: Repair, lesson: int, since: int, then_the_rest: bool) -> Repair:
    from grouper.planning.plan import improve_lesson
    from grouper.planning.reshape import changes_between

    improved = improve_lesson(repair.record, lesson, since, then_the_rest=then_the_rest).record
    return replace(repair, record=improved, changes=changes_between(before.plan, improved.plan))


def with_better_rest(record: ClassRecord, lesson: int) -> tuple[ClassRecord, Said]:
    """The record with the lessons after one planned again, and a word on it."""
    from grouper.faces.wording.changes import rest_line
    from grouper.planning.plan import improve_rest

    improved = improve_rest(record, after=lesson)
    return improved.record, rest_line(improved.changes)


@click.command()
@class_argument
@lesson_option
@students_argument
@click.option(
    "--from-round",
    type=COUNT,
    metavar="K",
    help="The first round that they are there for, over the whole lesson; if left out all that have not begun.",
)
def present_command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None) -> None:
    """Take back that students are absent or aside; with --from-round somebody came late, and earlier rounds stay."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        since, later = counts_from(record, lesson, from_round)
        what = f"present in lesson {lesson}{later}: {names(record, ids)}"
        return present(record, lesson, ids, since), what

    change_and_show(class_path, verb)


@click.command()
@class_argument
@lesson_option
@students_argument
@from_round_option
@click.option("--role", default="scorer", show_default=True, help="What they do meanwhile.")
def aside_command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None, role: str) -> None:
    """Students are there and take no part, for whatever reason; they get a role, and the groups are mended."""

    if not role.strip():
        raise click.BadParameter("give them something to do, such as scorer", param_hint="--role")

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        ids = found(record, students)
        since, later = counts_from(record, lesson, from_round)
        return aside(record, lesson, ids, role.strip(), since), f"aside in lesson {lesson}{later}: {names(record, ids)}"

    change_and_show(class_path, verb)


@click.command()
@class_argument
@lesson_option
@click.argument("name")
@click.option("--id", "student_id", metavar="ID", help="The school's id; one is made if left out.")
@click.option("--namesake", is_flag=True, help="Another student of this name is or was in the class.")
@click.option("--rating", "ratings", multiple=True, metavar="STRAND=NUMBER", help="A rating; may be given again.")
def join_command(
    class_path: Path, lesson: int, name: str, student_id: str | None, namesake: bool, ratings: tuple[str, ...]
) -> None:
    """A student is new in the class from a lesson on.

    That lesson is mended with fewest moves; later ones are planned again, with few changes. Who comes back gets the
    --id that they had, and everything that is theirs.
    """
    given = dict(_rating(text) for text in ratings)
    name = " ".join(name.split())
    check_name(name)

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        if not namesake:
            _refuse_known(record, name, student_id or "")
        rated = {_strand(record, text): value for text, value in given.items()}
        student = Student(student_id or _new_id(record), name, rated)
        return join(record, student, lesson), f"joined in lesson {lesson}: {student.name}"

    change_and_show(class_path, verb)


def _refuse_known(record: ClassRecord, name: str, student_id: str) -> None:
    """A name that is known may be somebody who is there, or is back: that is for the teacher to say."""
    known = namesakes(record, name, student_id)
    if known and known[0].archived:
        back = f"add --id {known[0].id} if {known[0].name} is back, or --namesake for another student of that name"
        raise InputError("{name} has been in the class before", back, name=known[0].name)
    if known:
        other = "write a second name that tells the two apart, or add --namesake"
        raise InputError("{name} ({id}) is in the class already", other, name=known[0].name, id=known[0].id)


def _rating(text: str) -> tuple[str, float]:
    strand, sign, number = text.rpartition("=")
    try:
        value = float(number.replace(",", "."))
    except ValueError:
        value = nan
    if not sign or not strand.strip() or not isfinite(value):
        raise click.BadParameter(f"'{text}' is not STRAND=NUMBER", param_hint="--rating")
    return strand.strip(), value


def _strand(record: ClassRecord, text: str) -> str:
    """The strand of the class that is meant, upper and lower case alike."""
    for strand in record.roster.strands:
        if strand.casefold() == text.casefold():
            return strand
    have = ", ".join(record.roster.strands) or "none"
    raise InputError("the class has no rating '{text}'", "its ratings are: {have}", text=text, have=have)


def _new_id(record: ClassRecord) -> str:
    number = len(record.roster.students) + 1
    while f"new-{number}" in record.roster.by_id:
        number += 1
    return f"new-{number}"


@click.command()
@class_argument
@lesson_option
@click.argument("student", metavar="STUDENT")
def leave_command(class_path: Path, lesson: int, student: str) -> None:
    """A student is gone from a lesson on; the past keeps them.

    That lesson is mended with fewest moves; later ones are planned again, with few changes.
    """

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        leaver = student_meant(record.roster, student)
        left = leave(record, leaver, lesson)
        in_it = left.record.roster.by_id[leaver].last_lesson == lesson
        when = f"after round {record.begun_in(lesson)} of" if in_it else "before"
        return left, f"left {when} lesson {lesson}: {record.roster.name(leaver)}"

    change_and_show(class_path, verb)


@click.command()
@class_argument
@lesson_option
@click.option("--activity", required=True, metavar="NAME", help="Which activity of the lesson.")
@click.option("--groups", type=click.IntRange(min=1), metavar="K", help="How many groups there are to be.")
@click.option("--size", type=click.IntRange(min=1), metavar="S", help="Or how many people in a group.")
def regroup_command(class_path: Path, lesson: int, activity: str, groups: int | None, size: int | None) -> None:
    """Fewer and larger groups, or more and smaller ones, as when a court is closed; as few students move as can be."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        what = f"other groups in lesson {lesson} for {activity}"
        return in_other_groups(record, lesson, activity, groups, size), what

    change_and_show(class_path, verb)


@click.command()
@class_argument
@lesson_option
@click.argument("one", metavar="STUDENT")
@click.argument("other", metavar="STUDENT")
@click.option("--round", "number", type=COUNT, metavar="K", help="One round of the lesson; all of them if left out.")
def swap_command(class_path: Path, lesson: int, one: str, other: str, number: int | None) -> None:
    """Let two students swap groups, and say what the swap breaks; the rounds are pinned."""
    from grouper.faces.wording.changes import round_title

    with ClassFile(class_path).change("") as edit:
        ids = found(edit.record, (one, other))
        if len(ids) < 2:
            raise click.UsageError("a swap needs two different students")
        swap = swapped(edit.record, lesson, ids[0], ids[1], number)
        edit.record, edit.what = swap.record, f"swap in lesson {lesson}: {names(edit.record, ids)}"
    show(f"{round_title(swap.record, key)}: swapped and pinned" for key in swap.rounds)
    show(f"  worse now: {line}" for line in said_lines(swap.breaks))
    show(swap.dropped)


@click.command()
@class_argument
@lesson_option
@click.option("--round", "number", type=COUNT, metavar="K", help="One round of the lesson; all of them if left out.")
@click.option("--off", is_flag=True, help="Let the round go again.")
def pin_command(class_path: Path, lesson: int, number: int | None, off: bool) -> None:
    """Keep a round as it is when the unit is planned again; absences are still mended."""
    which = f"lesson {lesson}" if number is None else f"lesson {lesson}, round {number}"
    word = "no longer pinned" if off else "pinned"
    with ClassFile(class_path).change(f"{which} {word}") as edit:
        edit.record = pinned(edit.record, lesson, number, not off)
    click.echo(f"{which.capitalize()} is {word}.")
