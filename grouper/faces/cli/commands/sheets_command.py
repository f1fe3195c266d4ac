"""``grouper sheets``: the printable sheets of a lesson."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, lesson_option, show
from grouper.faces.views.task_cards import RISK, RISK_OF_PLACES, task_cards
from grouper.files.store import ClassFile
from grouper.games.days.groups import stale_play
from grouper.words import Remedy, listed


@click.command()
@class_argument
@lesson_option
@click.option(
    "--to", "folder", type=click.Path(path_type=Path), required=True, metavar="FOLDER", help="Where to write."
)
@click.option(
    "--tasks",
    type=click.Choice(["cards", "places"]),
    default="cards",
    show_default=True,
    help="Where groups have different tasks: a card a group to cut out, or a sheet a task for places in the gym.",
)
@click.option(
    "--if-away/--no-if-away",
    default=True,
    show_default=True,
    help="On the teacher's sheet: who moves where if somebody is away. Takes a second or two.",
)
def command(class_path: Path, lesson: int, folder: Path, tasks: str, if_away: bool) -> None:
    """Write the sheets of a lesson: one for the wall, safe for students to see, and one for the teacher alone.

    The teacher's sheet also has a table for a day without power or device: for each student who moves where in each
    round if they are away, as grouper absent would do it, and a rule for two and three away.

    The task that all groups share stands on the wall; different ones do not, as they tell ability: they are on cards
    to hand out, or on sheets for places, and the command says what each of the two can tell.

    Games and stations of the lesson have sheets of their own, for the wall, the courts and the stations.
    """
    from grouper.faces.sheets.play_sheets import write_play_sheets
    from grouper.faces.sheets.write import write_sheets

    record = ClassFile(class_path).read().record
    record.lesson(lesson)
    if not record.plan.of_lesson(lesson):
        raise InputError("lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=lesson)
    at_places = tasks == "places"
    sheets = write_sheets(record, lesson, folder, at_places, if_away)
    for path in (*sheets, *write_play_sheets(record, lesson, folder)):
        click.echo(f"Written: {path}")
    if rounds := task_cards(record, lesson, at_places).rounds:
        which = f"{'round' if len(rounds) == 1 else 'rounds'} {listed([str(place) for place in rounds])}"
        click.echo(f"Groups have different tasks in {which}. {RISK_OF_PLACES if at_places else RISK}")
    show(stale_play(record, lesson))
