"""Games and stations: planned, and gone on with after something went wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, MINUTES, class_argument, lesson_option, show
from grouper.faces.wording.play import (
    active_in_words,
    capacity_in_words,
    doubles_heading,
    doubles_lines,
    heading,
    measure_lines,
    slot_lines,
    team_capacity,
    too_long_in_words,
)
from grouper.files.store import ClassFile
from grouper.files.writing import write_pair_games
from grouper.games.capacity import CapacityTask
from grouper.games.days.groups import active_in, event_meant, members_of, number_of, stale_play, too_long
from grouper.games.days.plan import Changes, News, TimeLeft, measures_of, resumed, slots_given, timing_given
from grouper.games.doubles import measure_doubles, plan_doubles
from grouper.model.play import DUTIES, GAMES, ORDERS, STATIONS, Asked, Event, Timing
from grouper.model.record import ClassRecord
from grouper.tasks.adapt import visits_kept_from

NOT_FOR_PLAYERS = ("class_path", "teams", "lesson", "activity", "twice", "fill", "students", "side", "called")


@click.command()
@options.optional_class_argument
@options.which_lesson_option
@options.activity_option
@options.round_option
@click.option("--teams", type=COUNT, metavar="N", help="How many teams, without CLASS.")
@click.option("--players", type=COUNT, metavar="N", help="Two against two for so many players, without CLASS.")
@click.option("--courts", type=COUNT, metavar="N", help="How many games can go on at once.")
@click.option("--twice", is_flag=True, help="Every two teams meet twice.")
@click.option("--fill", is_flag=True, help="They meet again until the time is up; needs --minutes and --play.")
@options.minutes_option
@options.play_option
@options.changeover_option
@click.option(
    "--order",
    type=click.Choice(ORDERS[GAMES]),
    default="breaks",
    metavar="ORDER",
    help="breaks: short waits and few breaks (the default); berger: Berger tables; carry-over: low carry-over.",
)
@click.option(
    "--duty",
    type=click.Choice(DUTIES),
    default="spare",
    metavar="WHO",
    help="Who officiates. spare: a team left over (the default); always: a team at every game; none: nobody.",
)
@click.option("--students", type=COUNT, metavar="N", help="Students in all, to show how many are active.")
@click.option("--side", type=COUNT, metavar="N", help="Players of a team on court, to show the same.")
@options.called_option
@options.csv_option
@options.sheets_option
def games_command(**given: Any) -> None:
    """Plan games: every two teams once, in as few slots as possible, with waits and duty shared out.

    A slot is the time of one game. The teams are numbers (--teams N), or the groups of a lesson's activity (CLASS
    --lesson N --activity NAME); then the games are kept in the class file, and a new plan replaces them until there
    are results.
    With --called and no --courts only the names of teams change.
    """
    if given["courts"] is None and given["called"]:
        event, lines = options.renamed(given, GAMES)
        show([heading(event), *slot_lines(event), *lines])
        return
    if given["courts"] is None:
        raise InputError("say how many games can go on at once: --courts N")
    if given["players"] is not None:
        _doubles(given)
        return
    if given["fill"] and given["twice"]:
        raise InputError("--twice and --fill are two answers to one question; leave one out")
    legs = None if given["fill"] else 2 if given["twice"] else 1
    asked = Asked(legs, order=given["order"], duty=given["duty"])
    wish = Event(GAMES, (), ("",) * given["courts"], asked=asked, timing=Timing(given["play"], given["changeover"]))
    record, event, lines = options.planned(given, wish, "teams")
    students = given["students"] if record is None else sum(map(len, members_of(record, event)))
    click.echo(heading(event))
    show(measure_lines(measures_of(event)))
    active = None if record is None else active_in(record, event)
    if active:
        click.echo(active_in_words(active))
    if not event.across:
        show(_capacity(event, students, given["side"]))
    click.echo("Games:")
    show([*slot_lines(event), *lines])


def _capacity(event: Event, students: int | None, side: int | None) -> Iterator[str]:
    """For students where their number or the size of a side is known, else for teams."""
    if students is None and side is None:
        return team_capacity(event)
    teams = len(event.teams)
    number = students if students is not None else teams * (side or 1)
    on_court = side if side is not None else max(1, number // teams)
    return capacity_in_words(CapacityTask(number, len(event.places), on_court, teams, event.asked.duty != "none"))


def _doubles(given: dict[str, Any]) -> None:
    """Plan a rotation of two against two for so many players, show it, and write what was asked for."""
    strange = [name for name in NOT_FOR_PLAYERS if given[name]]
    if strange:
        word = "a CLASS" if strange[0] == "class_path" else f"--{strange[0]}"
        raise InputError(
            "--players plans two against two without a class and does not go with {word}", "leave it out", word=word
        )
    timing = Timing(given["play"], given["changeover"])
    schedule = plan_doubles(given["players"], given["courts"], slots_given(timing, given["minutes"]))
    timing = timing_given(timing, given["minutes"], schedule.slots)
    click.echo(doubles_heading(schedule, timing))
    show(measure_lines(measure_doubles(schedule)))
    show(doubles_lines(schedule))
    if given["csv"] is not None:
        write_pair_games(given["csv"], ((game.slot, game.court, game.home, game.away) for game in schedule.games))
        click.echo(f"Games lines to {given['csv']}.")
    if given["sheets"] is not None:
        from grouper.faces.sheets.play_sheets import write_games_sheets
        from grouper.faces.views.play_view import doubles_view

        show(f"Written: {path}" for path in write_games_sheets(doubles_view(schedule, timing), given["sheets"]))


@click.command()
@options.optional_class_argument
@options.which_lesson_option
@options.activity_option
@options.round_option
@click.option("--groups", type=COUNT, metavar="N", help="How many groups, without CLASS.")
@click.option("--stations", type=COUNT, metavar="N", help="How many stations; if left out, one a --name.")
@click.option("--name", "names", multiple=True, metavar="TEXT", help="What is done at a station; once for each.")
@options.minutes_option
@options.play_option
@options.changeover_option
@click.option(
    "--order",
    type=click.Choice(ORDERS[STATIONS]),
    default="balanced",
    help="Stations follow each other equally often (the default), or everyone moves to the next.",
)
@options.called_option
@options.csv_option
@options.sheets_option
def stations_command(**given: Any) -> None:
    """Plan a circuit: every group at every station once, beside other groups each time.

    A slot is the time at one station. The groups are numbers (--groups N), or those of a lesson's activity
    (CLASS --lesson N --activity NAME); then the circuit is kept in the class file.

    With --called and neither --stations nor --name only the names of groups change.
    """
    if given["called"] and given["stations"] is None and not given["names"]:
        event, lines = options.renamed(given, STATIONS)
        show([heading(event), *slot_lines(event), *lines])
        return
    asked, timing = Asked(order=given["order"]), Timing(given["play"], given["changeover"])
    wish = Event(STATIONS, (), _stations(given["names"], given["stations"]), asked=asked, timing=timing)
    _, event, lines = options.planned(given, wish, "groups")
    click.echo(heading(event))
    show(measure_lines(measures_of(event)))
    click.echo("Stations:")
    show([*slot_lines(event), *lines])


def _stations(names: tuple[str, ...], count: int | None) -> tuple[str, ...]:
    if count is None and not names:
        raise InputError("say how many stations: --stations N, or a --name for each")
    if count is not None and len(names) > count:
        raise InputError(
            "{names} names are too many for {stations} stations",
            "leave out --stations or a name",
            names=len(names),
            stations=count,
        )
    return (*names, *[""] * ((count or len(names)) - len(names)))


OF_GAMES = ("closed", "opened", "missing", "back", "short", "whole", "not_played")
OF_STATIONS = ("station_closed", "station_opened")


@click.command()
@class_argument
@lesson_option
@options.activity_option
@click.option(
    "--played", type=COUNT, metavar="K", help="How many slots are over; up to the last new result if left out."
)
@click.option(
    "--not-played", type=COUNT, multiple=True, metavar="COURT", help="Its game in the last slot is played later."
)
@click.option(
    "--court-closed", "closed", type=COUNT, multiple=True, metavar="COURT", help="Cannot be used from now on."
)
@click.option("--court-open", "opened", type=COUNT, multiple=True, metavar="COURT", help="Can be used again.")
@click.option("--team-missing", "missing", multiple=True, metavar="TEAM", help="Is not there.")
@click.option("--team-back", "back", multiple=True, metavar="TEAM", help="Is there again.")
@click.option(
    "--team-short", "short", multiple=True, metavar="TEAM", help="Needs players lent by a team without a game."
)
@click.option("--team-whole", "whole", multiple=True, metavar="TEAM", help="Needs no players lent any more.")
@click.option("--station-closed", type=COUNT, multiple=True, metavar="STATION", help="Cannot be used from now on.")
@click.option(
    "--station-open", "station_opened", type=COUNT, multiple=True, metavar="STATION", help="Can be used again."
)
@click.option("--slots-left", type=COUNT, metavar="K", help="How many more slots there is time for.")
@click.option("--minutes-left", type=MINUTES, metavar="M", help="How many minutes are left.")
@click.option("--minutes-lost", type=MINUTES, metavar="M", help="How many minutes were lost.")
@options.csv_option
def resume_command(class_path: Path, lesson: int, activity: str | None, csv: Path | None, **news: Any) -> None:
    """Plan the rest of the games or stations again when something goes wrong; what was played stays as it was.

    Say only what is new: a court that was closed before stays closed.
    """
    time = TimeLeft(news["slots_left"], news["minutes_left"], news["minutes_lost"])
    with ClassFile(class_path).change("") as edit:
        edit.record.check_open(lesson)
        before = event_meant(edit.record, _kind_meant(edit.record, lesson, activity, news), lesson, activity)
        event = resumed(before, _news(before, news, time), visits_kept_from(edit.record, before))
        edit.record = edit.record.with_event(event)
        edit.what = f"'{event.activity}' in lesson {lesson} planned again after slot {event.played}"
        lines = [*_rest_lines(event), *options.written(edit.record, event, csv)]
    show([*lines, *_length_lines(edit.record, before, event, time)])
    show(stale_play(edit.record, lesson))


def _kind_meant(record: ClassRecord, lesson: int, activity: str | None, news: dict[str, Any]) -> str:
    """Games or stations: by the options, or because the activity (or lesson) has no others."""
    games, stations = (any(news[key] for key in keys) for keys in (OF_GAMES, OF_STATIONS))
    if games and stations:
        raise InputError("courts and teams belong to games, stations to a circuit; run the command once for each")
    if games or stations:
        return STATIONS if stations else GAMES
    kinds = {event.kind for event in record.events if event.lesson == lesson and activity in (None, event.activity)}
    if len(kinds) > 1:
        raise InputError("lesson {lesson} has games and stations", "say which with --activity NAME", lesson=lesson)
    return next(iter(kinds), GAMES)


def _news(event: Event, news: dict[str, Any], time: TimeLeft) -> News:
    def teams(key: str) -> tuple[int, ...]:
        return tuple(number_of(label, event.teams, "team") for label in news[key])

    if not event.is_games:
        return News(Changes(news["station_closed"], news["station_opened"]), time=time, played=news["played"])
    return News(
        Changes(news["closed"], news["opened"]),
        Changes(teams("missing"), teams("back")),
        Changes(teams("short"), teams("whole")),
        time,
        news["played"],
        news["not_played"],
    )


def _length_lines(record: ClassRecord, before: Event, now: Event, time: TimeLeft) -> Iterator[str]:
    """Nothing is cut without being asked for; where the time does not suffice, this says so and how to cut.

    Who says how many minutes are left knows better than the unit.
    """
    long = too_long(record, now, before) if time.minutes is None else None
    if long is not None:
        how = f"--played {long.played} --slots-left {long.slots_left} plans what fits"
        yield f"{too_long_in_words(long)}. Nothing was cut; {how}."


def _rest_lines(event: Event) -> Iterator[str]:
    yield heading(event)
    yield from measure_lines(measures_of(event))
    if event.is_games:
        yield from team_capacity(event)
    nothing = "No game is left." if event.is_games else "No slot is left."
    yield f"From slot {event.played + 1}:" if event.slots > event.played else nothing
    yield from slot_lines(event, event.played)
