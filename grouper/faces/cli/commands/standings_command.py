"""``grouper standings``: the table of games over the unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import click

from grouper.faces.cli.common import LESSON, POINTS, class_argument, show
from grouper.faces.cli.play_options import FileOf, activity_option, file_type
from grouper.faces.views.standings_view import progress_table, table_view, top_table
from grouper.faces.wording.play import (
    order_in_words,
    progress_lines,
    season_in_words,
    table_lines,
    top_lines,
    worth_in_words,
)
from grouper.files.store import ClassFile
from grouper.files.writing import write_standings
from grouper.games.days.season import Season, season_of
from grouper.games.standings import TIEBREAKS, tie_breaks
from grouper.model.play import ON_WALL, Points

TIE_BREAKS = ", ".join(rule.key for rule in TIEBREAKS)


@click.command(
    epilog=f"Tie-breaks: {TIE_BREAKS}. Points and tie-breaks are remembered; those used are printed below the table."
)
@class_argument
@click.option("--lesson", "lessons", type=LESSON, multiple=True, metavar="N", help="Just this lesson; again for more.")
@activity_option
@click.option("--win", type=POINTS, metavar="P", help="Points for a win; 3 at first.")
@click.option("--draw", type=POINTS, metavar="P", help="Points for a draw; 1 at first.")
@click.option("--loss", type=POINTS, metavar="P", help="Points for a loss; 0 at first.")
@click.option("--order", metavar="A,B,...", help="What decides, in this order: points,head to head,difference,scored.")
@click.option("--students", type=click.Choice(["top", "progress"]), help="Show only what students may see.")
@click.option(
    "--on-wall",
    type=click.Choice(["nothing", *ON_WALL[1:]]),
    help="What the students' screen shows after games, from now on: nothing (at first), top or progress.",
)
@click.option("--places", type=click.IntRange(min=1), default=3, help="How many places 'top' shows; 3.")
@click.option("--to", "csv", type=FileOf(".csv"), metavar="FILE.csv", help="Where to write the table.")
@click.option("--sheets", type=file_type, metavar="FOLDER", help="Where to write the tables to print.")
def command(
    class_path: Path,
    lessons: tuple[int, ...],
    activity: str | None,
    win: float | None,
    draw: float | None,
    loss: float | None,
    order: str | None,
    students: str | None,
    on_wall: str | None,
    places: int,
    csv: Path | None,
    sheets: Path | None,
) -> None:
    """Show the standings: results added up over all lessons with the same teams, or over the lessons given."""
    with ClassFile(class_path).change("what games are worth") as edit:
        points = _points(edit.record.points, win, draw, loss, order)
        if on_wall is not None:
            points = replace(points, on_wall="" if on_wall == "nothing" else on_wall)
        edit.record = replace(edit.record, points=points)
        season = season_of(edit.record, lessons, activity)
        # Refuses an unknown tie-break before it is remembered.
        tie_breaks(season.points)
    show(_for_students(season, students, places) if students else table_lines(season))
    if csv is not None:
        write_standings(csv, _rows(season))
        click.echo(f"Table written to {csv}.")
    if sheets is not None:
        show(_written(season, students, places, sheets))


def _written(season: Season, students: str | None, places: int, folder: Path) -> Iterator[str]:
    """Students get the first places unless everyone's progress is chosen."""
    from grouper.faces.sheets.play_sheets import write_standings_sheets

    shown = progress_table(season) if students == "progress" else top_table(season, places)
    rules = (worth_in_words(season.points), order_in_words(season.points))
    for path in write_standings_sheets(table_view(season), rules, shown, folder):
        yield f"Written: {path}"


def _points(known: Points, win: float | None, draw: float | None, loss: float | None, order: str | None) -> Points:
    chosen = tuple(key.strip().casefold() for key in order.split(",")) if order is not None else known.order
    return Points(
        known.win if win is None else win,
        known.draw if draw is None else draw,
        known.loss if loss is None else loss,
        chosen,
        known.on_wall,
    )


def _for_students(season: Season, what: str, places: int) -> Iterator[str]:
    yield season_in_words(season)
    yield from top_lines(season, places) if what == "top" else progress_lines(season)


def _rows(season: Season) -> Iterator[tuple[str, ...]]:
    for row in season.table:
        numbers = (row.played, row.won, row.drawn, row.lost, row.scored, row.conceded)
        points = (f"{value:g}" for value in (row.bonus, row.penalty, row.points))
        yield str(row.rank), season.teams[row.team - 1], *map(str, numbers), *points
