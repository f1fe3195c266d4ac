"""``grouper import``: read the roster again."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.admission import Given, admitted
from grouper.faces.cli.common import class_argument, details_option, show
from grouper.faces.wording.changes import repair_lines
from grouper.files.store import ClassFile
from grouper.planning.repair import repair


@click.command()
@class_argument
@click.option("--roster", type=click.Path(path_type=Path), required=True, metavar="FILE", help="CSV, XLSX, OneRoster.")
@click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
@details_option
@click.option("--yes", is_flag=True, help="Agree to what is lost with lessons that are not as they were.")
def command(class_path: Path, roster: Path, class_name: str, details: bool, yes: bool) -> None:
    """Read a roster into a class: matched by id, new students join, who is gone is archived and keeps the history.

    Groups not yet taught are mended with fewest moves.
    """
    file = ClassFile(class_path)
    before = file.read() if file.exists else None
    given = Given(roster, class_name=class_name, details=details, yes=yes)
    mended = repair(admitted(given, before.record if before else None))
    if before is None:
        file.create(mended.record, "roster imported")
    else:
        file.save(mended.record, "roster imported", read_at=before.version)
    if mended.record.plan.rounds:
        show(repair_lines(mended))
    click.echo(f"Saved in {class_path}.")
