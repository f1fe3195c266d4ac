"""``grouper stations``: groups go round stations."""

from __future__ import annotations

from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, show
from grouper.faces.wording.play import heading, measure_lines, slot_lines
from grouper.games.days.plan import measures_of
from grouper.model.play import ORDERS, STATIONS, Asked, Event, Timing


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
def command(**given: Any) -> None:
    """Plan a circuit: every group at every station once, with other groups each time.

    The groups are mere numbers (--groups N), or those of an activity of a lesson (CLASS --lesson N --activity NAME);
    then the circuit is kept in the class file.

    With --called and neither --stations nor --name only the names of groups change.
    """
    if given["called"] and given["stations"] is None and not given["names"]:
        event, lines = options.renamed(given, STATIONS)
        show([heading(event), *slot_lines(event), *lines])
        return
    asked, timing = Asked(order=given["order"]), Timing(given["play"], given["changeover"])
    wish = Event(STATIONS, (), _stations(given["names"], given["stations"]), asked=asked, timing=timing)
    _, event, written = options.planned(given, wish, "groups")
    click.echo(heading(event))
    show(measure_lines(measures_of(event)))
    click.echo("Stations:")
    show([*slot_lines(event), *written])


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
