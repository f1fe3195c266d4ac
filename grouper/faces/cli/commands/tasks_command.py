"""``grouper tasks``: a task that fits for each group, the levers that tasks are made of, and the cupboard."""

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
from grouper.faces.views.tasks_of_class import lesson_lines, match_lines, moves_lines
from grouper.faces.wording.telling import reading_lines
from grouper.files.levers import default_levers, read_cupboard, read_levers, write_levers
from grouper.files.store import ClassFile
from grouper.files.words.levers import kind_of_activity, scoring_in, telling
from grouper.model.record import ClassRecord
from grouper.model.scoring import SCORINGS
from grouper.tasks.kept import (
    copied,
    merged,
    scored_as,
    set_up,
    switched,
    with_cupboard,
    with_success,
    with_two_ways,
    without,
)
from grouper.words import folded


@click.command(epilog=f"Ways of scoring: {', '.join(one.key for one in SCORINGS)}; 'danger zone 5' sets the points.")
@optional_class_argument
@which_lesson_option
@activity_option
@click.option("--levers", "--ladders", type=file_type, metavar="FILE", help="Take in levers from CSV or XLSX.")
@click.option("--cupboard", type=file_type, metavar="FILE", help="Take in how many balls, hoops, goals there are.")
@click.option("--set-up", is_flag=True, help="Levers for every activity that has none, by what it is called.")
@click.option("--write", type=FileOf(".csv"), metavar="FILE.csv", help="Write the levers, to change.")
@click.option("--like", metavar="NAME", help="Give --activity the levers that come along under this name.")
@click.option("--off", is_flag=True, help="No tasks for --activity any more, or without --lever.")
@click.option("--lever", metavar="NAME", help="Just this lever of --activity, to switch it on (--like) or --off.")
@click.option("--scoring", metavar="WAY", help="How points count in --activity; 'open' for no way chosen.")
@click.option(
    "--rule", metavar="WORDS", help="The rule of --scoring as you say it."
)
@click.option("--ways", type=click.Choice(["one", "two"]), help="Whether cards of --activity offer two ways to choose.")
@click.option("--moves", is_flag=True, help="Which lever moves this class most.")
@click.option("--success", type=share, metavar="SHARE", help="The share of attempts that should succeed, such as 80%.")
@details_option
def command(
    class_path: Path | None,
    activity: str | None,
    lever: str | None,
    rule: str | None,
    details: bool,
    **given: object,
) -> None:
    """Show a task that fits for each group of lesson N, with what is changed and why, for you alone.

    Tasks are made of levers, each from easier to harder: distance, ball, hand, movement, points. Those that come along
    are for kinds of activity; --set-up switches them on. Write them with --write FILE.csv, change them as you like,
    and take them in with --levers FILE.csv.
    """
    chosen = [name for name, value in given.items() if value is not None and value is not False]
    if len(chosen) != 1:
        ways = ", ".join(f"--{name.replace('_', '-')}" for name in given)
        raise click.UsageError(f"give one of {ways}")
    (what,) = chosen
    if what == "write":
        _write(class_path, Path(str(given["write"])))
        return
    if class_path is None:
        raise InputError("tasks belong to a class; give the CLASS file first")
    if what in ("like", "off", "scoring", "ways") and activity is None:
        raise InputError("say for which activity: --activity NAME")
    if what == "scoring":
        _score(class_path, activity or "", str(given["scoring"]), rule or "")
        return
    _DEEDS[what](class_path, given[what], activity or "", lever, details)


Deed = Callable[[Path, object, str, str | None, bool], None]


def _show(path: Path, lesson: object, activity: str, lever: str | None, details: bool) -> None:
    show(lesson_lines(ClassFile(path).read().record, int(str(lesson)), activity or None))


def _show_moves(path: Path, _: object, activity: str, lever: str | None, details: bool) -> None:
    show(moves_lines(ClassFile(path).read().record))


def _take_in(path: Path, file: object, activity: str, lever: str | None, details: bool) -> None:
    reading = read_levers(Path(str(file)))
    show(reading_lines("Tasks", reading.summary, reading.notes, details))
    _change(path, f"tasks from {Path(str(file)).name}", lambda record: merged(record, reading.challenges))


def _take_in_cupboard(path: Path, file: object, activity: str, lever: str | None, details: bool) -> None:
    reading = read_cupboard(Path(str(file)))
    show(reading_lines("Cupboard", reading.summary, reading.notes, details))
    _change(path, f"the cupboard from {Path(str(file)).name}", lambda record: with_cupboard(record, reading.stores))


def _set_up(path: Path, _: object, activity: str, lever: str | None, details: bool) -> None:
    library = {one.activity: one for one in default_levers()}
    _change(path, "tasks by kind of activity", lambda record: set_up(record, library, kind_of_activity))


def _like(path: Path, like: object, activity: str, lever: str | None, details: bool) -> None:
    library = default_levers()
    if lever is None:
        _change(path, f"tasks for '{activity}'", lambda record: copied(record, activity, str(like), library))
        return
    kind = next((one for one in library if one.fits(str(like))), None)
    new = kind.lever(lever) if kind else None
    if new is None:
        have = ", ".join(each.name for each in kind.levers) if kind else ", ".join(one.activity for one in library)
        raise InputError("'{like}' has no lever '{lever}'", "there are {have}", like=like, lever=lever, have=have)
    _change(path, f"the lever '{lever}' for '{activity}'", lambda record: switched(record, activity, new))


def _off(path: Path, _: object, activity: str, lever: str | None, details: bool) -> None:
    if lever is None:
        _change(path, f"no tasks for '{activity}'", lambda record: without(record, activity))
    else:
        _change(path, f"no lever '{lever}' for '{activity}'", lambda record: switched(record, activity, lever))


def _score(path: Path, activity: str, said: str, rule: str) -> None:
    way = "" if folded(said) in ("open", "none") else scoring_in(said) or said
    if told := telling(rule):
        raise InputError("students read the rule, and '{told}' tells them how able they are held to be", told=told)
    _change(path, f"how points count in '{activity}'", lambda record: scored_as(record, activity, way, rule))


def _ways(path: Path, ways: object, activity: str, lever: str | None, details: bool) -> None:
    what = f"cards of '{activity}' {'offer two ways' if ways == 'two' else 'have one task'}"
    _change(path, what, lambda record: with_two_ways(record, activity, ways == "two"))


def _success(path: Path, success: object, activity: str, lever: str | None, details: bool) -> None:
    wanted = float(str(success))
    _change(path, f"{wanted:.0%} of attempts should succeed", lambda record: with_success(record, wanted))


_DEEDS: dict[str, Deed] = {
    "lesson": _show,
    "moves": _show_moves,
    "levers": _take_in,
    "cupboard": _take_in_cupboard,
    "set_up": _set_up,
    "like": _like,
    "off": _off,
    "success": _success,
    "ways": _ways,
}


def _write(class_path: Path | None, file: Path) -> None:
    own = ClassFile(class_path).read().record.challenges if class_path else ()
    write_levers(file, own or default_levers())
    click.echo(f"Written: {file} ({'the tasks of the class' if own else 'the tasks that come along'})")


def _change(class_path: Path, what: str, verb: Callable[[ClassRecord], ClassRecord]) -> None:
    with ClassFile(class_path).change(what) as edit:
        edit.record = verb(edit.record)
    click.echo(f"{what[:1].upper()}{what[1:]}.")
    show(match_lines(edit.record))
