"""``grouper games``: a round robin on the courts there are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, show
from grouper.faces.cli.doubles import doubles
from grouper.faces.wording.capacity import capacity_in_words, team_capacity
from grouper.faces.wording.play import game_lines, games_heading, measure_lines
from grouper.files.games_csv import write_games
from grouper.files.store import ClassFile
from grouper.games.asked import Duty, Order
from grouper.games.capacity import CapacityTask
from grouper.games.day import measure_games
from grouper.games.days.keep import numbers, schedule_of, with_games
from grouper.games.days.season import members_of
from grouper.games.days.start import (
    GamesWish,
    games_for,
    games_of_class,
    in_its_minutes,
    no_scores_lost,
    place_and_labels,
)
from grouper.games.days.time_given import TimeGiven
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord


@click.command()
@options.optional_class_argument
@options.which_lesson_option
@options.activity_option
@options.round_option
@click.option("--teams", type=COUNT, metavar="N", help="How many teams, without CLASS.")
@click.option("--players", type=COUNT, metavar="N", help="Two against two for so many players, without CLASS.")
@click.option("--courts", type=COUNT, required=True, metavar="N", help="How many games can go on at once.")
@click.option("--twice", is_flag=True, help="Every two teams meet twice.")
@click.option("--fill", is_flag=True, help="They meet again until the time is up; needs --minutes and --play.")
@options.minutes_option
@options.play_option
@options.changeover_option
@click.option(
    "--order",
    type=click.Choice(["breaks", "berger", "carry-over"]),
    default="breaks",
    metavar="ORDER",
    help="breaks: short waits and few breaks (the default); berger: Berger tables; carry-over: low carry-over.",
)
@click.option(
    "--duty",
    type=click.Choice(["spare", "always", "none"]),
    default="spare",
    metavar="WHO",
    help="Who officiates. spare: a team left over (the default); always: a team at every game; none: nobody.",
)
@click.option("--students", type=COUNT, metavar="N", help="Students in all, to show how many are active.")
@click.option("--side", type=COUNT, metavar="N", help="Players of a team on court, to show the same.")
@options.csv_option
@options.sheets_option
def command(**given: Any) -> None:
    """Plan games: every two teams once, in as few slots as there can be, waits and duty shared out.

    The teams are mere numbers (--teams N), or the groups of a lesson's activity (CLASS --lesson N --activity NAME);
    then the games are kept in the class file, and planning anew replaces them until there are results.
    """
    if given["players"] is not None:
        doubles(given)
        return
    options.both_or_neither(given["class_path"], given["lesson"], given["teams"], "teams")
    wish = _wish(given)
    record, day, written = _in_class(given, wish) if given["class_path"] else _numbers(given, wish)
    students = given["students"] if record is None else sum(map(len, members_of(record, day)))
    show(_summary(day, students, given["side"]))
    show(written)


def _wish(given: dict[str, Any]) -> GamesWish:
    if given["fill"] and given["twice"]:
        raise InputError("--twice and --fill are two answers to one question; leave one out")
    legs = None if given["fill"] else 2 if given["twice"] else 1
    order: Order = given["order"]
    duty: Duty = given["duty"]
    return GamesWish(
        given["courts"], legs, order, duty, TimeGiven(given["minutes"], given["play"], given["changeover"])
    )


def _numbers(given: dict[str, Any], wish: GamesWish) -> tuple[None, GamesDay, list[str]]:
    if given["csv"] is None and given["sheets"] is None:
        raise InputError("say where to write the games: --to FILE.csv, or --sheets FOLDER")
    day = games_for(numbers(given["teams"]), wish)
    return None, day, _written(None, day, given)


def _in_class(given: dict[str, Any], wish: GamesWish) -> tuple[ClassRecord, GamesDay, list[str]]:
    with ClassFile(given["class_path"]).change("") as edit:
        place, labels = place_and_labels(edit.record, given["lesson"], given["activity"], given["number"])
        no_scores_lost(edit.record, place)
        timed = replace(wish, time=in_its_minutes(edit.record, place, wish.time))
        day = games_of_class(edit.record, labels, timed, place)
        edit.what = f"games of '{day.activity}' in lesson {day.lesson}"
        edit.record = with_games(edit.record, day)
        # Within the change, so that nothing is kept where a file cannot be written.
        written = _written(edit.record, day, given)
    return edit.record, day, written


def _summary(day: GamesDay, students: int | None, side: int | None) -> Iterator[str]:
    yield games_heading(day)
    yield from measure_lines(measure_games(schedule_of(day)))
    yield from _capacity(day, students, side)
    yield "Games:"
    yield from game_lines(day)


def _capacity(day: GamesDay, students: int | None, side: int | None) -> Iterator[str]:
    """For students where their number or the size of a side is known, else for teams."""
    if students is None and side is None:
        return team_capacity(day)
    number = students if students is not None else len(day.teams) * (side or 1)
    on_court = side if side is not None else max(1, number // len(day.teams))
    task = CapacityTask(number, day.asked.courts, on_court, len(day.teams), day.asked.duty != "none")
    return capacity_in_words(task)


def _written(record: ClassRecord | None, day: GamesDay, given: dict[str, Any]) -> list[str]:
    """Write the files that were asked for, and say so."""
    lines = []
    if given["csv"] is not None:
        write_games(given["csv"], day.fixtures)
        lines.append(f"Games written to {given['csv']}.")
    if given["sheets"] is not None:
        from grouper.faces.sheets.play_write import write_games_sheets

        lines.extend(f"Written: {path}" for path in write_games_sheets(day, given["sheets"], record))
    return lines
