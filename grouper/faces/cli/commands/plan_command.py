"""``grouper plan``: plan the unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.admission import Given, admitted
from grouper.faces.cli.common import SEED, class_argument, details_option, progress, scale_option, show
from grouper.faces.cli.remedies import said_lines
from grouper.faces.views.tasks_of_lesson import idle_lines
from grouper.faces.wording.changes import change_lines
from grouper.faces.wording.fairness import summary_lines
from grouper.files.store import ClassFile
from grouper.games.days.groups import stale_play
from grouper.model.record import ClassRecord
from grouper.model.request import CLOSENESS, PREFERENCES, Settings
from grouper.planning.fairness import fairness_of
from grouper.planning.noting import dropped
from grouper.planning.outcome import STEPS
from grouper.planning.plan import plan_unit
from grouper.planning.repair import repair
from grouper.planning.requests import became_of_requests

USUAL = "usual"
file_type = click.Path(path_type=Path)


@click.command()
@class_argument
@click.option("--roster", type=file_type, metavar="FILE", help="CSV, XLSX or OneRoster zip.")
@click.option("--lessons", type=file_type, metavar="FILE", help="CSV, or XLSX with a sheet of lessons.")
@click.option("--requests", type=file_type, metavar="FILE", help="CSV, or XLSX with a sheet of requests.")
@click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
@scale_option
@click.option("--seed", type=SEED, metavar="N", help="Another seed gives another plan of its kind.")
@click.option("--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How hard to try.")
@click.option("--prefer", type=click.Choice([p or USUAL for p in PREFERENCES]), help="What goes first; remembered.")
@click.option("--closeness", type=click.Choice(CLOSENESS), help="How much more a meeting in a pair counts; remembered.")
@details_option
@click.option("--yes", is_flag=True, help="Agree to what is lost with lessons that are not as they were.")
def command(
    class_path: Path,
    roster: Path | None,
    lessons: Path | None,
    requests: Path | None,
    class_name: str,
    scale: str | None,
    seed: int | None,
    effort: str,
    prefer: str | None,
    closeness: str | None,
    details: bool,
    yes: bool,
) -> None:
    """Plan the unit: every lesson that has not been taught, with all that is known of those that have.

    The first plan makes the class file CLASS and needs the roster and the lessons; a workbook may hold all three
    tables.
    """
    file = ClassFile(class_path)
    before = file.read() if file.exists else None
    given = Given(roster, lessons, requests, class_name, details, scale, yes=yes)
    record = admitted(given, before.record if before else None)
    if before is not None:
        # Pinned groups give way to nothing but a request that came after the pin.
        pinned = repair(record, pinned_only=True, before=before.record)
        for change in pinned.changes:
            show(change_lines(pinned.record, change))
        record = pinned.record
    if not record.unit.lessons:
        raise InputError("the class has no lessons yet; name them with --lessons FILE")
    if given.lessons is not None or given.roster is not None:
        show(idle_lines(record))
    with progress("Planning") as watch:
        outcome = plan_unit(record, seed, effort, _settings(record.settings, prefer, closeness), watch)
    if before is None:
        file.create(outcome.record, "first plan")
    else:
        file.save(outcome.record, "plan", read_at=before.version)
    if before is not None:
        show(dropped(record, outcome.record))
        show(became_of_requests(before.record, outcome.record))
        show(_left_behind(outcome.record))
    show(summary_lines(outcome.record, fairness_of(outcome.record)))
    click.echo(f"Saved in {class_path}.")


def _left_behind(record: ClassRecord) -> Iterator[str]:
    """Games and stations whose teams are not there any more, as where a lesson was put in before theirs."""
    lessons = {event.lesson for event in record.events}
    for lesson in sorted(lessons - record.taught):
        yield from (f"Lesson {lesson}: {line}" for line in said_lines(stale_play(record, lesson)))


def _settings(known: Settings, prefer: str | None, closeness: str | None) -> Settings:
    """The class's settings with what was given now."""
    chosen = known.prefer if prefer is None else prefer.replace(USUAL, "")
    return replace(known, prefer=chosen, closeness=closeness or known.closeness)
