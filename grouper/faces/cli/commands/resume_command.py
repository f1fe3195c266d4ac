"""``grouper resume``: games or stations go on after something went wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, MINUTES, class_argument, lesson_option, show
from grouper.faces.wording.capacity import team_capacity
from grouper.faces.wording.play import (
    circuit_heading,
    game_lines,
    games_heading,
    measure_lines,
    too_long_in_words,
    visit_lines,
)
from grouper.files.games_csv import write_games
from grouper.files.stations_csv import write_stations
from grouper.files.store import ClassFile
from grouper.games.circuit_measures import measure_circuit
from grouper.games.day import measure_games
from grouper.games.days.groups import number_of
from grouper.games.days.keep import (
    circuit_meant,
    circuit_of,
    games_meant,
    schedule_of,
    with_circuit,
    with_games,
)
from grouper.games.days.resume import CircuitNews, GamesNews, Turned, resumed_circuit, resumed_games
from grouper.games.days.stale import stale_play
from grouper.games.days.time_left import TimeLeft
from grouper.games.days.too_long import TooLong, too_long
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord

PlayDay = GamesDay | CircuitDay

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
        if _is_about_stations(edit.record, lesson, activity, news):
            before = circuit_meant(edit.record, lesson, activity)
            circuit = resumed_circuit(before, _circuit_news(news, time))
            edit.record, edit.what = with_circuit(edit.record, circuit), _what(circuit)
            lines = [*_circuit_lines(circuit, csv), *_length_lines(edit.record, before, circuit, time)]
        else:
            were = games_meant(edit.record, lesson, activity)
            games = resumed_games(were, _games_news(were, news, time))
            edit.record, edit.what = with_games(edit.record, games), _what(games)
            lines = [*_games_lines(games, csv), *_length_lines(edit.record, were, games, time)]
    show(lines)
    show(stale_play(edit.record, lesson))


def _is_about_stations(record: ClassRecord, lesson: int, activity: str | None, news: dict[str, Any]) -> bool:
    """Whether a circuit is meant: by the options, or because the activity (or lesson) has no games."""
    games, stations = (any(news[key] for key in keys) for keys in (OF_GAMES, OF_STATIONS))
    if games and stations:
        raise InputError("courts and teams belong to games, stations to a circuit; run the command once for each")
    if games or stations:
        return stations
    with_them = [day.lesson for day in record.games if day.lesson == lesson and activity in (None, day.activity)]
    circuits = [day.lesson for day in record.circuits if day.lesson == lesson and activity in (None, day.activity)]
    if with_them and circuits:
        raise InputError("lesson {lesson} has games and stations", "say which with --activity NAME", lesson=lesson)
    return bool(circuits)


def _games_news(day: GamesDay, news: dict[str, Any], time: TimeLeft) -> GamesNews:
    def teams(key: str) -> tuple[int, ...]:
        return tuple(number_of(label, day.teams, "team") for label in news[key])

    return GamesNews(
        Turned(news["closed"], news["opened"]),
        Turned(teams("missing"), teams("back")),
        Turned(teams("short"), teams("whole")),
        time,
        news["played"],
        news["not_played"],
    )


def _circuit_news(news: dict[str, Any], time: TimeLeft) -> CircuitNews:
    return CircuitNews(Turned(news["station_closed"], news["station_opened"]), time, news["played"])


def _what(day: GamesDay | CircuitDay) -> str:
    return f"'{day.activity}' in lesson {day.lesson} planned anew after slot {day.played}"


def _length_lines(record: ClassRecord, before: PlayDay, now: PlayDay, time: TimeLeft) -> Iterator[str]:
    """Nothing is cut without being asked for; where the time does not suffice, this says so and how to cut.

    Who says how many minutes are left knows better than the unit.
    """
    long = too_long(record, now, before) if time.minutes is None else None
    if long is not None:
        yield f"{too_long_in_words(long)}. Nothing was cut; {_how_to_cut(long)}."


def _how_to_cut(long: TooLong) -> str:
    return f"--played {long.played} --slots-left {long.slots_left} plans what fits"


def _games_lines(day: GamesDay, csv: Path | None) -> Iterator[str]:
    yield games_heading(day)
    yield from measure_lines(measure_games(schedule_of(day)))
    yield from team_capacity(day)
    yield f"From slot {day.played + 1}:" if day.slots > day.played else "No game is left."
    yield from game_lines(day, day.played)
    if csv is not None:
        write_games(csv, day.fixtures)
        yield f"Games written to {csv}."


def _circuit_lines(day: CircuitDay, csv: Path | None) -> Iterator[str]:
    yield circuit_heading(day)
    yield from measure_lines(measure_circuit(circuit_of(day)))
    yield f"From slot {day.played + 1}:" if day.last_slot > day.played else "No slot is left."
    yield from visit_lines(day, day.played)
    if csv is not None:
        write_stations(csv, day.visits)
        yield f"Stations written to {csv}."
