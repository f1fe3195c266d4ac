"""``grouper resume``: games or stations go on after something went wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, MINUTES, class_argument, lesson_option, show
from grouper.faces.wording.play import heading, measure_lines, slot_lines, team_capacity, too_long_in_words
from grouper.files.store import ClassFile
from grouper.games.days.groups import event_meant, number_of, stale_play, too_long
from grouper.games.days.plan import Changes, News, TimeLeft, measures_of, resumed
from grouper.model.play import GAMES, STATIONS, Event
from grouper.model.record import ClassRecord

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
@click.option("--team-whole", "whole", multiple=True, metavar="TEAM", help="Needs none any more.")
@click.option("--station-closed", type=COUNT, multiple=True, metavar="STATION", help="Cannot be used from now on.")
@click.option(
    "--station-open", "station_opened", type=COUNT, multiple=True, metavar="STATION", help="Can be used again."
)
@click.option("--slots-left", type=COUNT, metavar="K", help="How many more slots there is time for.")
@click.option("--minutes-left", type=MINUTES, metavar="M", help="How many minutes are left.")
@click.option("--minutes-lost", type=MINUTES, metavar="M", help="How many minutes were lost.")
@options.csv_option
def command(class_path: Path, lesson: int, activity: str | None, csv: Path | None, **news: Any) -> None:
    """Plan the rest of the games or stations anew when something goes wrong; what was played stays as it was.

    Say only what is new: a court that was closed before stays closed.
    """
    time = TimeLeft(news["slots_left"], news["minutes_left"], news["minutes_lost"])
    with ClassFile(class_path).change("") as edit:
        edit.record.check_open(lesson)
        before = event_meant(edit.record, _kind_meant(edit.record, lesson, activity, news), lesson, activity)
        event = resumed(before, _news(before, news, time))
        edit.record = edit.record.with_event(event)
        edit.what = f"'{event.activity}' in lesson {lesson} planned again after slot {event.played}"
        lines = [*_lines(event), *options.written(edit.record, event, csv)]
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


def _lines(event: Event) -> Iterator[str]:
    yield heading(event)
    yield from measure_lines(measures_of(event))
    if event.is_games:
        yield from team_capacity(event)
    nothing = "No game is left." if event.is_games else "No slot is left."
    yield f"From slot {event.played + 1}:" if event.slots > event.played else nothing
    yield from slot_lines(event, event.played)
