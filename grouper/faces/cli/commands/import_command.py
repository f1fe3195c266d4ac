"""``grouper import``: read the roster again."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.admission import Given, admitted, told_of
from grouper.faces.cli.common import class_argument, details_option, scale_option, show
from grouper.faces.wording.changes import repair_lines
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.planning.admit import brought_in
from grouper.planning.requests import became_of_requests


@click.command()
@class_argument
@click.option("--roster", type=click.Path(path_type=Path), required=True, metavar="FILE", help="CSV, XLSX, OneRoster.")
@click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
@scale_option
@click.option("--same", multiple=True, metavar="OLD=NEW", help="The student with id OLD has id NEW on the new list.")
@click.option("--new", multiple=True, metavar="ID", help="The student with this id on the new list is new.")
@click.option("--by-id", is_flag=True, help="A known id is always the same student, whatever the name.")
@details_option
@click.option("--yes", is_flag=True, help="Agree to what is lost with lessons that are not as they were.")
def command(
    class_path: Path,
    roster: Path,
    class_name: str,
    scale: str | None,
    same: tuple[str, ...],
    new: tuple[str, ...],
    by_id: bool,
    details: bool,
    yes: bool,
) -> None:
    """Read a roster into a class: new students join, who is gone is archived and keeps the history.

    The same people under other ids are the same people, told by their names; where it is not sure who is who, nothing
    is changed until --same or --new says so. The next lesson is mended with fewest moves; later ones are planned again
    where somebody joined or left, with few changes.
    """
    file = ClassFile(class_path)
    found = file.read() if file.exists else None
    before = found.record if found else ClassRecord(Roster(()))
    told = told_of(before.roster, same, new, by_id)
    given = Given(roster, class_name=class_name, details=details, scale=scale, told=told, yes=yes)
    mended = brought_in(before, admitted(given, before if found else None))
    if found is None:
        file.create(mended.record, "roster imported")
    else:
        file.save(mended.record, "roster imported", read_at=found.version)
    if mended.record.plan.rounds:
        show(repair_lines(mended))
    show(became_of_requests(before, mended.record))
    click.echo(f"Saved in {class_path}.")
