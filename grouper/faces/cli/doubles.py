"""``grouper games --players``: a 2v2 rotation, planned and shown."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli.common import show
from grouper.faces.wording.doubles import doubles_heading, doubles_lines
from grouper.faces.wording.play import measure_lines
from grouper.files.games_csv import write_pair_games
from grouper.games.days.time_given import TimeGiven
from grouper.games.whist import DoublesSchedule, measure_doubles, plan_doubles
from grouper.model.timing import Timing

NOT_FOR_PLAYERS = ("class_path", "teams", "lesson", "activity", "twice", "fill", "students", "side")


def doubles(given: dict[str, Any]) -> None:
    """Plan a rotation for so many players, show it, and write what was asked for.

    Raises
    ------
    InputError
        It is asked for together with what is for teams, or cannot be played.
    """
    strange = [name for name in NOT_FOR_PLAYERS if given[name]]
    if strange:
        word = "a CLASS" if strange[0] == "class_path" else f"--{strange[0]}"
        raise InputError(
            "--players plans two against two for mere numbers and does not go with {word}", "leave it out", word=word
        )
    time = TimeGiven(given["minutes"], given["play"], given["changeover"])
    schedule = plan_doubles(given["players"], given["courts"], time.slots)
    timing = time.timing(schedule.slots)
    click.echo(doubles_heading(schedule, timing))
    show(measure_lines(measure_doubles(schedule)))
    show(doubles_lines(schedule))
    _write(schedule, timing, given["csv"], given["sheets"])


def _write(schedule: DoublesSchedule, timing: Timing, csv: Path | None, sheets: Path | None) -> None:
    if csv is not None:
        write_pair_games(csv, ((game.slot, game.court, game.home, game.away) for game in schedule.games))
        click.echo(f"Games written to {csv}.")
    if sheets is not None:
        from grouper.faces.sheets.play_write import write_games_view
        from grouper.faces.views.games_view import doubles_view

        show(f"Written: {path}" for path in write_games_view(doubles_view(schedule, timing), sheets))
