"""On the day: who is away, there after all or aside, who joins or leaves; groups shown, printed, changed by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli import common
from grouper.faces.cli.remedies import said_lines
from grouper.faces.views.cards import RISK, RISK_OF_PLACES, task_cards
from grouper.faces.wording.changes import NOBODY, group_in_words, held_lines, round_title
from grouper.files.cells import number
from grouper.files.store import ClassFile
from grouper.games.days.groups import stale_play
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.adjust import in_other_groups, pinned, swapped
from grouper.planning.attend import absent, aside, check_name, join, leave, namesakes, present, usual_round
from grouper.planning.noting import note_of
from grouper.planning.repair import Repair
from grouper.words import Remedy, Said, listed


@click.command()
@common.class_argument
@common.lesson_option
@common.students_argument
@common.from_round_option
@click.option("--best", is_flag=True, help="Make this lesson's groups as good as can be, whoever has to move.")
@click.option("--rest", is_flag=True, help="Improve the later lessons too, with what is known now.")
def absent_command(
    class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None, best: bool, rest: bool
) -> None:
    """Students are away from a lesson; its groups are changed so that as few others as possible move.

    Students by id or by a name that is unique, as it stands on the roster or on the sheets; names with a space in
    quotation marks. A lesson that was taught is corrected with grouper ran.
    """

    def verb(record: ClassRecord, ids: tuple[str, ...], since: int) -> Repair:
        repair = absent(record, lesson, ids, since)
        if best:
            # The search is loaded where it is asked for.
            from grouper.planning.plan import improve_lesson
            from grouper.planning.reshape import changes_between

            improved = improve_lesson(repair.record, lesson, since, then_the_rest=rest).record
            repair = replace(repair, record=improved, changes=changes_between(record.plan, improved.plan))
        if rest:
            after, better = with_better_rest(repair.record, lesson)
            repair = replace(repair, record=after, remarks=(*repair.remarks, better))
        return repair

    _say_of(class_path, lesson, students, from_round, "absent", verb)


def _say_of(
    class_path: Path,
    lesson: int,
    students: tuple[str, ...],
    from_round: int | None,
    what: str,
    verb: Callable[[ClassRecord, tuple[str, ...], int], Repair],
) -> None:
    """Say something of students in a lesson, from a round on: as it is given, or else the next to begin."""

    def change(record: ClassRecord) -> tuple[Repair, str]:
        ids = common.found(record, students)
        since = usual_round(record, lesson) if from_round is None else from_round
        later = f" from round {since} on" if since > 1 else ""
        return verb(record, ids, since), f"{what} in lesson {lesson}{later}: {common.names(record, ids)}"

    common.change_and_show(class_path, change)


def with_better_rest(record: ClassRecord, lesson: int) -> tuple[ClassRecord, Said]:
    """The record with the lessons after one planned again, and a word on it."""
    from grouper.faces.wording.changes import rest_line
    from grouper.planning.plan import improve_rest

    improved = improve_rest(record, after=lesson)
    return improved.record, rest_line(improved.changes)


@click.command()
@common.class_argument
@common.lesson_option
@common.students_argument
@click.option(
    "--from-round",
    type=common.COUNT,
    metavar="K",
    help="The first round that they are there for, over the whole lesson; if left out all that have not begun.",
)
def present_command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None) -> None:
    """Students are there after all; with --from-round they came late, and earlier rounds stay."""

    def verb(record: ClassRecord, ids: tuple[str, ...], since: int) -> Repair:
        return present(record, lesson, ids, since)

    _say_of(class_path, lesson, students, from_round, "present", verb)


@click.command()
@common.class_argument
@common.lesson_option
@common.students_argument
@common.from_round_option
@click.option("--role", default="scorer", show_default=True, help="What they do meanwhile.")
def aside_command(class_path: Path, lesson: int, students: tuple[str, ...], from_round: int | None, role: str) -> None:
    """Students are there and sit out, for whatever reason; they get a role, and the groups are changed."""

    if not role.strip():
        raise click.BadParameter("give them something to do, such as scorer", param_hint="--role")

    def verb(record: ClassRecord, ids: tuple[str, ...], since: int) -> Repair:
        return aside(record, lesson, ids, role.strip(), since)

    _say_of(class_path, lesson, students, from_round, "sitting out", verb)


@click.command()
@common.class_argument
@common.lesson_option
@click.argument("name")
@click.option("--id", "student_id", metavar="ID", help="The school's id; one is made if left out.")
@click.option("--namesake", is_flag=True, help="Another student of this name is or was in the class.")
@click.option(
    "--rating", "ratings", multiple=True, metavar="STRAND=NUMBER", help="A rating, 5 the strongest; may be given again."
)
def join_command(
    class_path: Path, lesson: int, name: str, student_id: str | None, namesake: bool, ratings: tuple[str, ...]
) -> None:
    """A student is new in the class from a lesson on.

    In that lesson as few others as possible move; later lessons are planned again, with few changes. Whoever
    comes back gets the --id that they had, and everything that is theirs.
    """
    given = dict(_rating(text) for text in ratings)
    name = " ".join(name.split())
    check_name(name)

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        if not namesake:
            known = namesakes(record, name, student_id or "")
            if known and known[0].archived:
                back = "add --id {id} if {name} is back, or --namesake for another student of that name"
                raise InputError("{name} has been in the class before", back, name=known[0].name, id=known[0].id)
            if known:
                other = "write a second name that tells the two apart, or add --namesake"
                raise InputError("{name} ({id}) is in the class already", other, name=known[0].name, id=known[0].id)
        rated = {_strand(record, text): value for text, value in given.items()}
        numbers = count(len(record.roster.students) + 1)
        made = next(free for number in numbers if (free := f"new-{number}") not in record.roster.by_id)
        student = Student(student_id or made, name, rated)
        return join(record, student, lesson), f"joined in lesson {lesson}: {student.name}"

    common.change_and_show(class_path, verb)


def _rating(text: str) -> tuple[str, float]:
    strand, _, typed = text.rpartition("=")
    value = number(typed)
    if not strand.strip() or value is None:
        raise click.BadParameter(f"'{text}' is not STRAND=NUMBER", param_hint="--rating")
    return strand.strip(), value


def _strand(record: ClassRecord, text: str) -> str:
    """The strand of the class that is meant, upper and lower case alike."""
    for strand in record.roster.strands:
        if strand.casefold() == text.casefold():
            return strand
    have = record.roster.strands
    known = "its ratings are {have}" if have else "it has no ratings yet"
    raise InputError("the class has no rating '{text}'", known, text=text, have=have)


@click.command()
@common.class_argument
@common.lesson_option
@click.argument("student", metavar="STUDENT")
def leave_command(class_path: Path, lesson: int, student: str) -> None:
    """A student has left the class from a lesson on; what was before stays.

    In that lesson as few others as possible move; later lessons are planned again, with few changes.
    """

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        leaver = common.student_meant(record.roster, student)
        left = leave(record, leaver, lesson)
        in_it = left.record.roster.by_id[leaver].last_lesson == lesson
        when = f"after round {record.begun_in(lesson)} of" if in_it else "before"
        return left, f"left {when} lesson {lesson}: {record.roster.name(leaver)}"

    common.change_and_show(class_path, verb)


@click.command()
@common.class_argument
@common.lesson_option
@click.option("--activity", required=True, metavar="NAME", help="Which activity of the lesson.")
@click.option("--groups", type=common.PEOPLE, metavar="K", help="How many groups there are to be.")
@click.option("--size", type=common.PEOPLE, metavar="S", help="Or how many people in a group.")
@click.option("--sides", default="", metavar="SIDES", help="Or the sides of one game, such as 5+3 or 4+4+1.")
def regroup_command(
    class_path: Path, lesson: int, activity: str, groups: int | None, size: int | None, sides: str
) -> None:
    """Make fewer or more groups, as when a court is closed, so that as few students as possible move."""

    def verb(record: ClassRecord) -> tuple[Repair, str]:
        what = f"other groups in lesson {lesson} for {activity}"
        return in_other_groups(record, lesson, activity, groups, size, sides=sides), what

    common.change_and_show(class_path, verb)


@click.command()
@common.class_argument
@common.lesson_option
@click.argument("one", metavar="STUDENT")
@click.argument("other", metavar="STUDENT")
@common.one_round_option
def swap_command(class_path: Path, lesson: int, one: str, other: str, number: int | None) -> None:
    """Let two students swap groups, and say which requests the swap breaks; its rounds are pinned."""
    from grouper.faces.wording.changes import round_title

    with ClassFile(class_path).change("") as edit:
        ids = common.found(edit.record, (one, other))
        if len(ids) < 2:
            raise click.UsageError("a swap needs two different students")
        swap = swapped(edit.record, lesson, ids[0], ids[1], number)
        edit.record = common.with_rotations_kept(swap.record, edit.record)
        edit.what = f"swap in lesson {lesson}: {common.names(edit.record, ids)}"
    common.show(f"{round_title(swap.record, key)}: swapped and pinned" for key in swap.rounds)
    common.show(f"  worse now: {line}" for line in said_lines(swap.breaks))
    common.show(swap.dropped)


@click.command()
@common.class_argument
@common.lesson_option
@common.one_round_option
@click.option("--off", is_flag=True, help="Let the round go again.")
def pin_command(class_path: Path, lesson: int, number: int | None, off: bool) -> None:
    """Keep a round as it is when the unit is planned again; absences are still mended."""
    which = f"lesson {lesson}" if number is None else f"lesson {lesson}, round {number}"
    word = "no longer pinned" if off else "pinned"
    with ClassFile(class_path).change(f"{which} {word}") as edit:
        edit.record = pinned(edit.record, lesson, number, not off)
    click.echo(f"{which.capitalize()} is {word}.")


@click.command()
@common.class_argument
@click.argument("number", metavar="[N]", type=common.LESSON, required=False)
@click.option(
    "--lesson", type=common.LESSON, metavar="N", help="Number of the lesson, as with other commands; the same as N."
)
def lesson_command(class_path: Path, number: int | None, lesson: int | None) -> None:
    """Show the groups of lesson N, round by round."""
    asked = {which for which in (number, lesson) if which is not None}
    if len(asked) != 1:
        raise click.UsageError("say which one lesson, such as: grouper lesson 7b.class 3")
    common.show(lesson_lines(ClassFile(class_path).read().record, asked.pop()))


def lesson_lines(record: ClassRecord, number: int) -> Iterator[str | Said]:
    """A title a round, and a line a group, in the order of their labels."""
    record.lesson(number)
    rounds = record.plan.of_lesson(number)
    if not rounds:
        raise InputError("lesson {number} has no groups yet", "grouper plan makes them", number=number)
    yield from _note_lines(record, number, 0)
    for round_ in rounds:
        marks = " (begun)" if record.has_begun(round_.key) else " (pinned)" if round_.pinned else ""
        yield round_title(record, round_.key) + marks
        if not round_.groups:
            yield f"  {NOBODY}"
        yield from (f"  {g.label:>3}  {group_in_words(record, g)}" for g in sorted(round_.groups, key=_by_label))
        yield from _note_lines(record, number, record.place_in_lesson(round_.key))
    if record.events:
        from grouper.faces.wording.play import active_lines  # brings what plans games: only where there are any

        yield from (f"{activity}: {line}" for activity, line in active_lines(record, number))
    yield from held_lines(record, number)


def _note_lines(record: ClassRecord, lesson: int, place: int) -> Iterator[str]:
    """What the teacher noted; the terminal is the teacher's."""
    note = note_of(record, lesson, place)
    if note:
        yield f"  note: {note}"


def _by_label(group: Group) -> tuple[int, str]:
    return (int(group.label) if group.label.isdigit() else 0, group.label)


@click.command()
@common.class_argument
@common.lesson_option
@click.option("--to", "folder", type=common.file_type, required=True, metavar="FOLDER", help="Where to write.")
@click.option(
    "--tasks",
    type=click.Choice(["cards", "places"]),
    default="cards",
    show_default=True,
    help="Where groups have different tasks: a card a group to cut out, or a sheet a task for places in the gym.",
)
@click.option(
    "--if-away/--no-if-away",
    default=True,
    show_default=True,
    help="On the teacher's sheet: who moves where if somebody is away. Takes about a second.",
)
def sheets_command(class_path: Path, lesson: int, folder: Path, tasks: str, if_away: bool) -> None:
    """Write the sheets of a lesson: one for the wall, safe for students to see, and one for the teacher alone.

    The teacher's sheet also has a table for a day without power or device: for each student who moves where in each
    round if they are away, as grouper absent would do it, and a rule for two and three away.

    The task that all groups share stands on the wall; different ones do not, as they tell ability: they are on cards
    to hand out, or on sheets for places, and the command says what each of the two can tell.

    Games and stations of the lesson have sheets of their own, for the wall, the courts and the stations.
    """
    from grouper.faces.sheets.pages import write_sheets
    from grouper.faces.sheets.play_sheets import write_play_sheets

    record = ClassFile(class_path).read().record
    record.lesson(lesson)
    if not record.plan.of_lesson(lesson):
        raise InputError("lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=lesson)
    at_places = tasks == "places"
    sheets = write_sheets(record, lesson, folder, at_places, if_away)
    for path in (*sheets, *write_play_sheets(record, lesson, folder)):
        click.echo(f"Written: {path}")
    if rounds := task_cards(record, lesson, at_places).rounds:
        which = f"{'round' if len(rounds) == 1 else 'rounds'} {listed([str(place) for place in rounds])}"
        click.echo(f"Groups have different tasks in {which}. {RISK_OF_PLACES if at_places else RISK}")
    common.show(stale_play(record, lesson))
