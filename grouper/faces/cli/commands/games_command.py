"""``grouper games``: a round robin on the courts there are, or two against two."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, show
from grouper.faces.wording.play import (
    capacity_in_words,
    doubles_heading,
    doubles_lines,
    heading,
    measure_lines,
    slot_lines,
    team_capacity,
)
from grouper.files.writing import write_pair_games
from grouper.games.capacity import CapacityTask
from grouper.games.days.groups import members_of
from grouper.games.days.plan import measures_of, slots_given, timing_given
from grouper.games.doubles import measure_doubles, plan_doubles
from grouper.model.play import DUTIES, GAMES, ORDERS, Asked, Event, Timing

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
def command(**given: Any) -> None:
    """Plan games: every two teams once, in as few slots as there can be, waits and duty shared out.

    The teams are mere numbers (--teams N), or the groups of a lesson's activity (CLASS --lesson N --activity NAME);
    then the games are kept in the class file, and planning anew replaces them until there are results.
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
    record, event, written = options.planned(given, wish, "teams")
    students = given["students"] if record is None else sum(map(len, members_of(record, event)))
    click.echo(heading(event))
    show(measure_lines(measures_of(event)))
    show(_capacity(event, students, given["side"]))
    click.echo("Games:")
    show([*slot_lines(event), *written])


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
            "--players plans two against two for mere numbers and does not go with {word}", "leave it out", word=word
        )
    timing = Timing(given["play"], given["changeover"])
    schedule = plan_doubles(given["players"], given["courts"], slots_given(timing, given["minutes"]))
    timing = timing_given(timing, given["minutes"], schedule.slots)
    click.echo(doubles_heading(schedule, timing))
    show(measure_lines(measure_doubles(schedule)))
    show(doubles_lines(schedule))
    if given["csv"] is not None:
        write_pair_games(given["csv"], ((game.slot, game.court, game.home, game.away) for game in schedule.games))
        click.echo(f"Games written to {given['csv']}.")
    if given["sheets"] is not None:
        from grouper.faces.sheets.play_sheets import write_games_sheets
        from grouper.faces.views.play_view import doubles_view

        show(f"Written: {path}" for path in write_games_sheets(doubles_view(schedule, timing), given["sheets"]))
