"""``grouper stations``: groups go round stations."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import click

from grouper.errors import InputError
from grouper.faces.cli import play_options as options
from grouper.faces.cli.common import COUNT, show
from grouper.faces.wording.play import circuit_heading, measure_lines, visit_lines
from grouper.files.stations_csv import write_stations
from grouper.files.store import ClassFile
from grouper.games.circuit_measures import measure_circuit
from grouper.games.days.keep import circuit_of, numbers, with_circuit
from grouper.games.days.start import CircuitWish, circuit_for, in_its_minutes, place_and_labels
from grouper.games.days.time_given import TimeGiven
from grouper.model.circuit_day import CircuitDay
from grouper.model.record import ClassRecord


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
    type=click.Choice(["balanced", "rotation"]),
    default="balanced",
    help="Stations follow each other equally often (the default), or everyone moves to the next.",
)
@options.csv_option
@options.sheets_option
def command(**given: Any) -> None:
    """Plan a circuit: every group at every station once, with other groups each time.

    The groups are mere numbers (--groups N), or those of an activity of a lesson (CLASS --lesson N --activity NAME);
    then the circuit is kept in the class file.
    """
    options.both_or_neither(given["class_path"], given["lesson"], given["groups"], "groups")
    wish = _wish(given)
    day, written = _in_class(given, wish) if given["class_path"] else _numbers(given, wish)
    show(_summary(day))
    show(written)


def _wish(given: dict[str, Any]) -> CircuitWish:
    names: tuple[str, ...] = given["names"]
    count: int | None = given["stations"]
    if count is None and not names:
        raise InputError("say how many stations: --stations N, or a --name for each")
    if count is not None and len(names) > count:
        raise InputError(
            "{names} names are too many for {stations} stations",
            "leave out --stations or a name",
            names=len(names),
            stations=count,
        )
    number = len(names) if count is None else count
    stations = (*names, *[""] * (number - len(names)))
    return CircuitWish(stations, given["order"], TimeGiven(given["minutes"], given["play"], given["changeover"]))


def _numbers(given: dict[str, Any], wish: CircuitWish) -> tuple[CircuitDay, list[str]]:
    if given["csv"] is None and given["sheets"] is None:
        raise InputError("say where to write the circuit: --to FILE.csv, or --sheets FOLDER")
    day = circuit_for(numbers(given["groups"]), wish)
    return day, _written(None, day, given)


def _in_class(given: dict[str, Any], wish: CircuitWish) -> tuple[CircuitDay, list[str]]:
    with ClassFile(given["class_path"]).change("") as edit:
        place, labels = place_and_labels(edit.record, given["lesson"], given["activity"], given["number"])
        day = circuit_for(labels, replace(wish, time=in_its_minutes(edit.record, place, wish.time)), place)
        edit.what = f"stations of '{day.activity}' in lesson {day.lesson}"
        edit.record = with_circuit(edit.record, day)
        # Within the change, so that nothing is kept where a file cannot be written.
        written = _written(edit.record, day, given)
    return day, written


def _summary(day: CircuitDay) -> Iterator[str]:
    yield circuit_heading(day)
    yield from measure_lines(measure_circuit(circuit_of(day)))
    yield "Stations:"
    yield from visit_lines(day)


def _written(record: ClassRecord | None, day: CircuitDay, given: dict[str, Any]) -> list[str]:
    """Write the files that were asked for, and say so."""
    lines = []
    if given["csv"] is not None:
        write_stations(given["csv"], day.visits)
        lines.append(f"Stations written to {given['csv']}.")
    if given["sheets"] is not None:
        from grouper.faces.sheets.play_write import write_stations_sheets

        lines.extend(f"Written: {path}" for path in write_stations_sheets(day, given["sheets"], record))
    return lines
