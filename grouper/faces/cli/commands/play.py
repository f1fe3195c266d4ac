"""Games and stations: planned, and gone on with after something went wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import common
from grouper.faces.views.names import telling_lines
from grouper.faces.wording import play as wording
from grouper.files.store import ClassFile
from grouper.files.writing import write_event, write_pair_games
from grouper.games.capacity import CapacityTask
from grouper.games.days import groups
from grouper.games.days.plan import (
    Changes,
    News,
    TimeLeft,
    measures_of,
    plan,
    planned_in,
    resumed,
    slots_given,
    timing_given,
)
from grouper.games.doubles import measure_doubles, plan_doubles
from grouper.model.play import DUTIES, GAMES, ORDERS, STATIONS, Asked, Event, Timing
from grouper.model.record import ClassRecord
from grouper.tasks.adapt import visits_kept_from

NOT_FOR_PLAYERS = ("class_path", "teams", "lesson", "activity", "twice", "fill", "students", "side", "called")


csv_option = click.option(
    "--to", "csv", type=common.FileOf(".csv"), metavar="FILE.csv", help="Where to write the plan."
)
sheets_option = click.option(
    "--sheets", type=common.file_type, metavar="FOLDER", help="Where to write the sheets to print."
)
minutes_option = click.option(
    "--minutes",
    type=common.MINUTES,
    metavar="M",
    help="All the time there is; with CLASS that of the activity if left out.",
)
play_option = click.option(
    "--play", type=common.MINUTES, metavar="M", help="Minutes of a slot; if left out, as long as there is time for."
)
called_option = click.option(
    "--called",
    multiple=True,
    metavar="TEAM=NAME",
    help="Call it by its bibs or a name; '4=' by its number.",
)
changeover_option = click.option(
    "--changeover", type=common.MINUTES, default=0.0, metavar="M", help="Minutes to change between two slots; 0."
)


@click.command()
@common.optional_class_argument
@common.which_lesson_option
@common.activity_option
@common.round_option
@click.option("--teams", type=common.COUNT, metavar="N", help="How many teams, without CLASS.")
@click.option("--players", type=common.COUNT, metavar="N", help="Two against two for so many players, without CLASS.")
@click.option("--courts", type=common.COUNT, metavar="N", help="How many games can go on at once.")
@click.option("--twice", is_flag=True, help="Every two teams meet twice.")
@click.option("--fill", is_flag=True, help="They meet again until the time is up; needs --minutes and --play.")
@minutes_option
@play_option
@changeover_option
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
@click.option("--students", type=common.COUNT, metavar="N", help="Students in all, to show how many are active.")
@click.option("--side", type=common.COUNT, metavar="N", help="Players of a team on court, to show the same.")
@called_option
@csv_option
@sheets_option
def games_command(**given: Any) -> None:
    """Plan games: every two teams once, in as few slots as possible, with waits and duty shared out.

    A slot is the time of one game. The teams are numbers (--teams N), or the groups of a lesson's activity (CLASS
    --lesson N --activity NAME); then the games are kept in the class file, and a new plan replaces them until there
    are results.
    With --called and no --courts only the names of teams change.
    """
    if given["courts"] is None and given["called"]:
        _renamed(given, GAMES)
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
    record, event, lines = _planned(given, wish, "teams")
    students = given["students"] if record is None else sum(map(len, groups.members_of(record, event)))
    click.echo(wording.heading(event))
    common.show(wording.measure_lines(measures_of(event)))
    active = None if record is None else groups.active_in(record, event)
    if active:
        click.echo(wording.active_in_words(active))
    if not event.across:
        common.show(_capacity(event, students, given["side"]))
    click.echo("Games:")
    common.show([*wording.slot_lines(event), *lines])


def _capacity(event: Event, students: int | None, side: int | None) -> Iterator[str]:
    """For students where their number or the size of a side is known, else for teams."""
    if students is None and side is None:
        return wording.team_capacity(event)
    teams = len(event.teams)
    number = students if students is not None else teams * (side or 1)
    on_court = side if side is not None else max(1, number // teams)
    return wording.capacity_in_words(
        CapacityTask(number, len(event.places), on_court, teams, event.asked.duty != "none")
    )


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
    click.echo(wording.doubles_heading(schedule, timing))
    common.show(wording.measure_lines(measure_doubles(schedule)))
    common.show(wording.doubles_lines(schedule))
    if given["csv"] is not None:
        write_pair_games(given["csv"], ((game.slot, game.court, game.home, game.away) for game in schedule.games))
        click.echo(f"Games lines to {given['csv']}.")
    if given["sheets"] is not None:
        from grouper.faces.sheets.play_sheets import write_games_sheets
        from grouper.faces.views.play_view import doubles_view

        common.show(f"Written: {path}" for path in write_games_sheets(doubles_view(schedule, timing), given["sheets"]))


@click.command()
@common.optional_class_argument
@common.which_lesson_option
@common.activity_option
@common.round_option
@click.option("--groups", type=common.COUNT, metavar="N", help="How many groups, without CLASS.")
@click.option("--stations", type=common.COUNT, metavar="N", help="How many stations; if left out, one a --name.")
@click.option("--name", "names", multiple=True, metavar="TEXT", help="What is done at a station; once for each.")
@minutes_option
@play_option
@changeover_option
@click.option(
    "--order",
    type=click.Choice(ORDERS[STATIONS]),
    default="balanced",
    help="Stations follow each other equally often (the default), or everyone moves to the next.",
)
@called_option
@csv_option
@sheets_option
def stations_command(**given: Any) -> None:
    """Plan a circuit: every group at every station once, beside other groups each time.

    A slot is the time at one station. The groups are numbers (--groups N), or those of a lesson's activity
    (CLASS --lesson N --activity NAME); then the circuit is kept in the class file.

    With --called and neither --stations nor --name only the names of groups change.
    """
    if given["called"] and given["stations"] is None and not given["names"]:
        _renamed(given, STATIONS)
        return
    asked, timing = Asked(order=given["order"]), Timing(given["play"], given["changeover"])
    if given["stations"] is None and not given["names"]:
        raise InputError("say how many stations: --stations N, or a --name for each")
    if given["stations"] is not None and len(given["names"]) > given["stations"]:
        raise InputError(
            "{names} names are too many for {stations} stations",
            "leave out --stations or a name",
            names=len(given["names"]),
            stations=given["stations"],
        )
    wish = Event(
        STATIONS,
        (),
        (*given["names"], *[""] * ((given["stations"] or len(given["names"])) - len(given["names"]))),
        asked=asked,
        timing=timing,
    )
    _, event, lines = _planned(given, wish, "groups")
    click.echo(wording.heading(event))
    common.show(wording.measure_lines(measures_of(event)))
    click.echo("Stations:")
    common.show([*wording.slot_lines(event), *lines])


OF_GAMES = ("closed", "opened", "missing", "back", "short", "whole", "not_played")
OF_STATIONS = ("station_closed", "station_opened")


@click.command()
@common.class_argument
@common.lesson_option
@common.activity_option
@click.option(
    "--played", type=common.COUNT, metavar="K", help="How many slots are over; up to the last new result if left out."
)
@click.option(
    "--not-played", type=common.COUNT, multiple=True, metavar="COURT", help="Its game in the last slot is played later."
)
@click.option(
    "--court-closed", "closed", type=common.COUNT, multiple=True, metavar="COURT", help="Cannot be used from now on."
)
@click.option("--court-open", "opened", type=common.COUNT, multiple=True, metavar="COURT", help="Can be used again.")
@click.option("--team-missing", "missing", multiple=True, metavar="TEAM", help="Is not there.")
@click.option("--team-back", "back", multiple=True, metavar="TEAM", help="Is there again.")
@click.option(
    "--team-short", "short", multiple=True, metavar="TEAM", help="Needs players lent by a team without a game."
)
@click.option("--team-whole", "whole", multiple=True, metavar="TEAM", help="Needs no players lent any more.")
@click.option(
    "--station-closed", type=common.COUNT, multiple=True, metavar="STATION", help="Cannot be used from now on."
)
@click.option(
    "--station-open", "station_opened", type=common.COUNT, multiple=True, metavar="STATION", help="Can be used again."
)
@click.option("--slots-left", type=common.COUNT, metavar="K", help="How many more slots there is time for.")
@click.option("--minutes-left", type=common.MINUTES, metavar="M", help="How many minutes are left.")
@click.option("--minutes-lost", type=common.MINUTES, metavar="M", help="How many minutes were lost.")
@csv_option
def resume_command(class_path: Path, lesson: int, activity: str | None, csv: Path | None, **news: Any) -> None:
    """Plan the rest of the games or stations again when something goes wrong; what was played stays as it was.

    Say only what is new: a court that was closed before stays closed.
    """
    time = TimeLeft(news["slots_left"], news["minutes_left"], news["minutes_lost"])
    with ClassFile(class_path).change("") as edit:
        edit.record.check_open(lesson)
        before = groups.event_meant(edit.record, _kind_meant(edit.record, lesson, activity, news), lesson, activity)
        event = resumed(before, _news(before, news, time), visits_kept_from(edit.record, before))
        edit.record = edit.record.with_event(event)
        edit.what = f"'{event.activity}' in lesson {lesson} planned again after slot {event.played}"
        # Within the change, so that nothing is kept where a file cannot be written.
        files = _written(edit.record, event, csv)
    common.show([wording.heading(event), *wording.measure_lines(measures_of(event))])
    if event.is_games:
        common.show(wording.team_capacity(event))
    nothing = "No game is left." if event.is_games else "No slot is left."
    click.echo(f"From slot {event.played + 1}:" if event.slots > event.played else nothing)
    common.show([*wording.slot_lines(event, event.played), *files])
    # Nothing is cut without being asked for; who says how many minutes are left knows better than the unit.
    long = groups.too_long(edit.record, event, before) if time.minutes is None else None
    if long is not None:
        how = f"--played {long.played} --slots-left {long.slots_left} plans what fits"
        click.echo(f"{wording.too_long_in_words(long)}. Nothing was cut; {how}.")
    common.show(groups.stale_play(edit.record, lesson))


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
        return tuple(groups.number_of(label, event.teams, "team") for label in news[key])

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


def _planned(given: dict[str, Any], wish: Event, what: str) -> tuple[ClassRecord | None, Event, list[str]]:
    """What is asked for, planned for the groups of a class or for mere numbers; the class, and lines on files written
    (InputError where it is not clear for whom, or where to write it).
    """
    path, count, lesson = given["class_path"], given[what], given["lesson"]
    if path is None:
        if count is None:
            raise InputError("say how many: --{what} N, or give a CLASS with --lesson N", what=what)
        if lesson is not None:
            raise InputError("a lesson belongs to a class; give the CLASS before --lesson")
        if given["csv"] is None and given["sheets"] is None:
            raise InputError("say where to write the {kind}: --to FILE.csv, or --sheets FOLDER", kind=wish.kind)
        asked = _called(replace(wish, teams=tuple(map(str, range(1, count + 1)))), given)
        event = plan(asked, given["minutes"])
        return None, event, _written(None, event, given["csv"], given["sheets"])
    if count is not None:
        raise InputError("with a CLASS the {what} are the groups of the activity", "leave out --{what}", what=what)
    if lesson is None:
        raise InputError("with a CLASS give --lesson N, and --activity NAME where the lesson has more than one")
    with ClassFile(path).change("") as edit:
        asked = groups.of_class(edit.record, wish, lesson, given["activity"], given["number"])
        kept_from = visits_kept_from(edit.record, asked)
        edit.record, event = planned_in(edit.record, _called(asked, given), given["minutes"], kept_from)
        edit.what = f"{event.kind} of '{event.activity}' in lesson {lesson}"
        # Within the change, so that nothing is kept where a file cannot be written.
        lines = _written(edit.record, event, given["csv"], given["sheets"])
    return edit.record, event, lines


def _renamed(given: dict[str, Any], kind: str) -> None:
    """Games or stations stay as they are, with other names of teams (InputError where there are none)."""
    if given["class_path"] is None or given["lesson"] is None:
        raise InputError("names alone are given to games or stations of a class", "give the CLASS and --lesson N")
    with ClassFile(given["class_path"]).change("") as edit:
        before = groups.event_meant(edit.record, kind, given["lesson"], given["activity"])
        event = _called(before, given)
        edit.record, edit.what = edit.record.with_event(event), f"names of teams of '{event.activity}'"
        lines = _written(edit.record, event, given["csv"], given["sheets"])
    common.show([wording.heading(event), *wording.slot_lines(event), *lines])


def _called(event: Event, given: dict[str, Any]) -> Event:
    """With names of teams, as typed: ``4=Red``; nothing after the sign for none."""
    names: dict[str, str] = {}
    for text in given["called"]:
        team, sign, name = text.partition("=")
        if not sign or not team.strip():
            raise InputError("'{text}' is no name of a team", "write it as TEAM=NAME, such as 4=Red", text=text)
        names[team.strip()] = name.strip()
    return groups.called(event, names)


def _written(record: ClassRecord | None, event: Event, csv: Path | None, sheets: Path | None = None) -> list[str]:
    """Write the files that were asked for, and say so."""
    lines = []
    if csv is not None:
        write_event(csv, event)
        lines.append(f"{event.kind.capitalize()} written to {csv}.")
    if sheets is not None:
        from grouper.faces.sheets.play_sheets import write_event_sheets

        lines.extend(f"Written: {path}" for path in write_event_sheets(event, sheets, record))
    return [*lines, *telling_lines(event.called, of_people=True), *telling_lines(event.places)]
