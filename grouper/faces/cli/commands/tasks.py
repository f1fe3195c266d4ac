"""Tasks that fit each group: their levers, what is kept for one child, another task, and a start for uneven games."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli import common
from grouper.faces.views.students import lesson_names
from grouper.faces.views.tasks_of_class import adaptation_lines, lesson_lines, match_lines, moves_lines, round_lines
from grouper.faces.wording import tasks as wording
from grouper.faces.wording.telling import reading_lines
from grouper.files.levers import check_words, default_levers, read_adaptations, read_cupboard, read_levers, write_levers
from grouper.files.store import ClassFile
from grouper.files.words.levers import kind_of_activity, scoring_in
from grouper.games.days.groups import activity_meant
from grouper.games.days.groups import round_meant as round_of_games
from grouper.model.levers import Adaptation, Challenge, Lever
from grouper.model.record import ClassRecord
from grouper.model.scoring import SCORINGS
from grouper.model.unit import RoundKey
from grouper.planning.adjust import round_meant
from grouper.tasks import kept
from grouper.tasks.adapt import adapted, not_adapted
from grouper.tasks.choose import as_suggested, ways, with_setting
from grouper.tasks.handicap import Play
from grouper.tasks.rounds import challenge_for
from grouper.tasks.uneven import Pairing, levelled, pairings_of, strand_meant
from grouper.words import folded


@click.command(epilog=f"Ways of scoring: {', '.join(one.key for one in SCORINGS)}; 'danger zone 5' sets the points.")
@common.optional_class_argument
@common.which_lesson_option
@common.activity_option
# Tables from before tasks had levers were read with --ladders.
@click.option("--levers", "--ladders", type=common.file_type, metavar="FILE", help="Read levers from CSV or XLSX.")
@click.option("--cupboard", type=common.file_type, metavar="FILE", help="Read how many balls, hoops, goals there are.")
@click.option("--set-up", is_flag=True, help="Levers for every activity that has none, by what it is called.")
@click.option("--write", type=common.FileOf(".csv"), metavar="FILE.csv", help="Write the levers, to change.")
@click.option("--like", metavar="NAME", help="Give --activity the levers that come with grouper under this name.")
@click.option("--off", is_flag=True, help="No tasks for --activity any more, or without --lever.")
@click.option("--lever", metavar="NAME", help="Just this lever of --activity, to switch it on (--like) or --off.")
@click.option("--scoring", metavar="WAY", help="How points count in --activity; 'open' for no way chosen.")
@click.option("--rule", metavar="WORDS", help="The rule of --scoring as you say it.")
@click.option("--ways", type=click.Choice(["one", "two"]), help="Whether cards of --activity offer two ways to choose.")
@click.option("--moves", is_flag=True, help="Which lever moves this class most.")
@click.option(
    "--success", type=common.share, metavar="SHARE", help="The share of attempts that should succeed, such as 80%."
)
@common.details_option
def tasks_command(
    class_path: Path | None,
    activity: str | None,
    lever: str | None,
    rule: str | None,
    details: bool,
    **given: object,
) -> None:
    """Show a task that fits for each group of lesson N, with what is changed and why, for you alone.

    Tasks are made of levers, each from easier to harder: distance, ball, hand, movement, points. Some come with
    grouper, for the usual kinds of activity; --set-up switches them on. Write them with --write FILE.csv, change them
    as you like, and read them again with --levers FILE.csv.
    """
    chosen = [name for name, value in given.items() if value is not None and value is not False]
    if len(chosen) != 1:
        ways = ", ".join(f"--{name.replace('_', '-')}" for name in given)
        raise click.UsageError(f"give one of {ways}")
    (what,) = chosen
    if what == "write":
        own = ClassFile(class_path).read().record.challenges if class_path else ()
        write_levers(file := Path(str(given["write"])), own or default_levers())
        click.echo(f"Written: {file} ({'the tasks of the class' if own else 'the tasks that come along'})")
        return
    if class_path is None:
        raise InputError("tasks belong to a class; give the CLASS file first")
    if rule is not None and what != "scoring":
        raise InputError("--rule says how points count", "give it with --scoring WAY")
    if what in ("like", "off", "scoring", "ways") and activity is None:
        raise InputError("say for which activity: --activity NAME")
    if what == "lesson":
        common.show(lesson_lines(ClassFile(class_path).read().record, int(str(given["lesson"])), activity))
    elif what == "moves":
        common.show(moves_lines(ClassFile(class_path).read().record))
    else:
        said, verb = _change_meant(what, str(given[what]), activity or "", lever or "", rule or "", details)
        with ClassFile(class_path).change(said) as edit:
            edit.record = verb(edit.record)
        click.echo(f"{said[:1].upper()}{said[1:]}.")
        common.show(match_lines(edit.record))


Verb = Callable[[ClassRecord], ClassRecord]


def _change_meant(what: str, value: str, activity: str, lever: str, rule: str, details: bool) -> tuple[str, Verb]:
    """What an option changes, in words, and the verb that does it; what a file holds is shown."""
    library = default_levers()
    match what:
        case "levers":
            tasks = read_levers(Path(value))
            common.show(reading_lines("Tasks", tasks.summary, tasks.notes, details))
            return f"tasks from {Path(value).name}", lambda record: kept.merged(record, tasks.challenges)
        case "cupboard":
            there = read_cupboard(Path(value))
            common.show(reading_lines("Cupboard", there.summary, there.notes, details))
            return f"the cupboard from {Path(value).name}", lambda record: kept.with_cupboard(record, there.stores)
        case "set_up":
            kinds = {one.activity: one for one in library}
            return "tasks by kind of activity", lambda record: kept.set_up(record, kinds, kind_of_activity)
        case "success":
            share = float(value)
            return f"{share:.0%} of attempts should succeed", lambda record: kept.with_success(record, share)
        case "ways":
            words = "offer two ways" if value == "two" else "have one task"
            return f"cards of '{activity}' {words}", lambda record: kept.with_two_ways(record, activity, value == "two")
        case "scoring":
            if not value.strip():
                raise InputError("no way of scoring is named", "give one, or 'open' for no way chosen")
            way = "" if folded(value) in ("open", "none") else scoring_in(value) or value
            check_words(rule)
            return f"how points count in '{activity}'", lambda record: kept.scored_as(record, activity, way, rule)
        case "like" if lever:
            new = _lever_of(library, value, lever)
            return f"the lever '{lever}' for '{activity}'", lambda record: kept.switched(record, activity, new)
        case "like":
            return f"tasks for '{activity}'", lambda record: kept.copied(record, activity, value, library)
        case _ if lever:
            return f"no lever '{lever}' for '{activity}'", lambda record: kept.switched(record, activity, lever)
        case _:
            return f"no tasks for '{activity}'", lambda record: kept.without(record, activity)


def _lever_of(library: Sequence[Challenge], like: str, lever: str) -> Lever:
    kind = next((one for one in library if one.fits(like)), None)
    new = kind.lever(lever) if kind else None
    if new is None:
        have = tuple(each.name for each in kind.levers) if kind else tuple(one.activity for one in library)
        raise InputError("'{like}' has no lever '{lever}'", "there are {have}", like=like, lever=lever, have=have)
    return new


DIRECTIONS = ("easier", "harder")


@click.command()
@common.class_argument
@click.argument("choices", metavar="GROUP=SETTING...", nargs=-1, required=True)
@common.lesson_option
@common.which_round_option
@click.option("--take-back", is_flag=True, help="The suggested task again for these groups; give them without =.")
def step_command(class_path: Path, choices: tuple[str, ...], lesson: int, number: int | None, take_back: bool) -> None:
    """Choose a group's task where you know better, such as: grouper step 7b.class --lesson 3 2=ball:small

    With 2=easier or 2=harder you see three ways, the least work first, and nothing is changed. Otherwise you see the
    tasks of the round as they are then. Results of that group and round count for the new task, and the suggestions for
    later rounds follow it.
    """
    asked = [choice for choice in choices if choice.rpartition("=")[2].strip().casefold() in DIRECTIONS]
    if asked:
        record = ClassFile(class_path).read().record
        common.show(_ways(record, round_meant(record, lesson, number), asked))
        return
    with ClassFile(class_path).change(f"tasks chosen in lesson {lesson}") as edit:
        before = edit.record
        key = round_meant(before, lesson, number)
        for choice in choices:
            group, sign, setting = (part.strip() for part in choice.partition("="))
            if not take_back and not (group and sign and setting):
                wrong = "'{choice}' is no task for a group"
                raise InputError(wrong, "write it as 2=4 or as 2=ball:small", choice=choice)
            label = common.label_meant(edit.record, key, group)
            if take_back:
                edit.record = as_suggested(edit.record, key, label)
            else:
                edit.record = with_setting(edit.record, key, label, setting)
    common.show(round_lines(edit.record, key, lesson_names(edit.record, lesson)))
    # What had been entered of a group may be of another task now.
    known = {(result.key, result.label): result for result in before.results}
    for result in edit.record.results:
        was = known.get((result.key, result.label))
        if was is not None and was.at != result.at:
            challenge = challenge_for(edit.record, result.key)
            at = wording.settings_in_words(challenge, result.at) if challenge else "another task"
            click.echo(f"What was entered for group {result.label}, {wording.went_in_words(result)}, is of {at} now.")


def _ways(record: ClassRecord, key: RoundKey, asked: list[str]) -> Iterator[str]:
    """What would make a task easier or harder, each with how to choose it."""
    for choice in asked:
        group, _, direction = (part.strip() for part in choice.rpartition("="))
        label = common.label_meant(record, key, group)
        found = ways(record, key, label, harder=direction.casefold() == "harder")
        yield (
            f"Group {label}, {direction.casefold()}:" if found else f"Group {label}: nothing is {direction.casefold()}."
        )
        for way in found:
            yield f"  {label}={way.lever}:{way.setting}  {wording.way_in_words(way)}"


@click.command()
@common.class_argument
@click.argument("student", required=False)
@click.option("--always", multiple=True, metavar="WHAT", help="A setting that is kept, such as 'large ball'.")
@click.option("--never", multiple=True, metavar="WHAT", help="A setting that is not used, such as 'hopping'.")
@click.option("--also", multiple=True, metavar="WORDS", help="Words that go with every task, such as 'seated'.")
@click.option("--not-at", multiple=True, metavar="STATION", help="A station without them, by number or name.")
@click.option("--off", metavar="WHAT", help="No longer this; 'all' for all that is kept for the student.")
@click.option("--table", type=common.file_type, metavar="FILE", help="Read a table with the columns student,kind,what.")
def adapt_command(
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

    It holds for every task of theirs, in repairs and new plans too, and no reason is asked for. The group sees nothing
    but the task. Without STUDENT you see what is kept for whom.
    """
    kinds = (("always", always), ("never", never), ("also", also), ("not at", not_at))
    said = [(kind, what) for kind, whats in kinds for what in whats]
    if student is None and (said or off):
        raise InputError("say for whom: grouper adapt CLASS STUDENT ...")
    if not (said or off or table):
        record = ClassFile(class_path).read().record
        meant = common.student_meant(record.roster, student) if student else None
        own = tuple(one for one in record.adaptations if meant in (None, one.student))
        lines = list(adaptation_lines(record, own))
        common.show(lines or ["Nothing is kept for anybody." if meant is None else "Nothing is kept."])
        return
    with ClassFile(class_path).change("what is kept for a student") as edit:
        roster = edit.record.roster
        rows = read_adaptations(table) if table else ()
        edit.record = adapted(
            edit.record, [Adaptation(common.student_meant(roster, who), kind, what) for who, kind, what in rows]
        )
        if student is not None:
            meant = common.student_meant(roster, student)
            for words in also:
                check_words(words)
            if off:
                edit.record = not_adapted(edit.record, meant, "" if off.casefold() == "all" else off)
            edit.record = adapted(edit.record, [Adaptation(meant, kind, what) for kind, what in said])
    common.show(adaptation_lines(edit.record, edit.record.adaptations))


ABOUT = 20
"""So many points are taken for a game where nothing is said: an assumption, printed with the answer."""


@click.command()
@common.class_argument
@common.lesson_option
@common.activity_option
@common.round_option
@click.option("--teams", nargs=2, metavar="ONE OTHER", help="Just these two groups; all games if left out.")
@click.option("--to", "goal", type=common.COUNT, metavar="POINTS", help="Games to this number of points.")
@click.option(
    "--about", type=common.COUNT, metavar="POINTS", help="Games on time with about so many points in all; 20."
)
@click.option(
    "--zone",
    type=common.share,
    default=0.0,
    metavar="SHARE",
    help="This share of the weaker team's points counts double.",
)
@click.option("--strand", metavar="NAME", help="The rating to compare teams by; that of the activity if left out.")
@click.option("--ways", is_flag=True, help="Four ways side by side: points to start with, zone, target, more players.")
@click.option(
    "--trust",
    type=common.share,
    default=1.0,
    metavar="SHARE",
    help="How much of the difference in ratings to believe; 1.",
)
def handicap_command(
    class_path: Path,
    lesson: int,
    activity: str | None,
    number: int,
    teams: tuple[str, str] | None,
    goal: int | None,
    about: int | None,
    zone: float,
    strand: str | None,
    trust: float,
    ways: bool,
) -> None:
    """Show with how many points the weaker team should start, game by game, for an even chance.

    It goes by the teams' average ratings, so it is as good as they are; where you are unsure of them, try --trust 0.7.
    For you alone. A zone is a place from which the weaker team's points count double; SHARE says how many of its points
    it makes there, such as 0.3.
    """
    if goal is not None and about is not None:
        raise InputError("a game goes to a number of points or is played on time; give --to or --about")
    points = next(given for given in (goal, about, ABOUT) if given is not None)
    play = Play(points, goal is None, zone)
    record = ClassFile(class_path).read().record
    round_ = round_of_games(record, lesson, activity_meant(record, lesson, activity), number)
    pairings = (Pairing(*teams),) if teams else pairings_of(record, round_)
    found = levelled(record, round_, pairings, strand_meant(record, round_, strand), play, trust)
    click.echo(f"For {wording.play_in_words(play)}:")
    for game in found:
        where = wording.where_in_words(game)
        click.echo(f"  {where}{': ' if where else ''}{wording.game_in_words(game, play)}")
        if ways and (said := wording.ways_in_words(game)):
            click.echo(f"    {said}")
    if why := wording.why_even_teams_start(found):
        click.echo(why)
