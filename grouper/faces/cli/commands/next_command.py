"""``grouper next``: the next unit begins."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from grouper.faces.cli.common import SEED, class_argument, details_option, progress, show
from grouper.faces.views.tasks_of_lesson import idle_lines
from grouper.faces.wording.changes import ending_lines
from grouper.faces.wording.fairness import summary_lines
from grouper.faces.wording.telling import reading_lines
from grouper.files.lessons import read_lessons
from grouper.files.store import ClassFile
from grouper.planning.fairness import fairness_of
from grouper.planning.next_unit import next_unit
from grouper.planning.outcome import STEPS
from grouper.planning.plan import plan_unit
from grouper.words import counted


@click.command()
@class_argument
@click.option(
    "--lessons", type=click.Path(path_type=Path), required=True, metavar="FILE", help="The lessons of the new unit."
)
@click.option(
    "--half-life",
    type=click.FloatRange(0, 1000),
    metavar="WEEKS",
    help="After so many weeks a meeting counts half, 12 at first; 0 to forget earlier units; remembered.",
)
@click.option("--seed", type=SEED, metavar="N", help="Another seed gives another plan of its kind.")
@click.option("--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How hard to try.")
@details_option
def command(
    class_path: Path, lessons: Path, half_life: float | None, seed: int | None, effort: str, details: bool
) -> None:
    """End the unit and plan the next one, which knows who has worked with whom in those before.

    The rounds of lessons that were taught are remembered, the less the longer ago. Absences, notes, scores, and
    requests for certain lessons end with the old unit. One undo takes all of it back.
    """
    file = ClassFile(class_path)
    before = file.read()
    reading = read_lessons(lessons, before.record.roster)
    show(reading_lines("lessons", reading.summary, reading.notes, details))
    begun = next_unit(before.record, reading.unit)
    record = begun.record
    show(idle_lines(record))
    if half_life is not None:
        record = replace(record, settings=replace(record.settings, half_life=half_life))
    with progress("Planning") as watch:
        planned = plan_unit(record, seed, effort, record.settings, watch).record
    file.save(planned, "next unit", read_at=before.version)
    click.echo(f"The old unit is over: {counted(begun.rounds, 'round')} remembered.")
    show(f"  ended with it: {line}" for line in ending_lines(before.record))
    show(summary_lines(planned, fairness_of(planned)))
    click.echo(f"Saved in {class_path}.")
