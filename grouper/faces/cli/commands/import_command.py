"""``grouper import``: read the roster again."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.admission import Given, admitted
from grouper.faces.cli.common import class_argument, details_option, show
from grouper.faces.wording.changes import repair_lines
from grouper.files.store import ClassFile
from grouper.planning.attend import with_the_rest
from grouper.planning.repair import repair


@click.command()
@class_argument
@click.option("--roster", type=click.Path(path_type=Path), required=True, metavar="FILE", help="CSV, XLSX, OneRoster.")
@click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
@details_option
def command(class_path: Path, roster: Path, class_name: str, details: bool) -> None:
    """Read a roster into a class: matched by id, new students join, who is gone is archived and keeps the history.

    The next lesson is mended with fewest moves; later ones are planned again where somebody joined or left, with few
    changes.
    """
    file = ClassFile(class_path)
    before = file.read() if file.exists else None
    given = Given(roster, class_name=class_name, details=details)
    mended = repair(admitted(given, before.record if before else None))
    if before is not None:
        mended = with_the_rest(before.record, mended)
    if before is None:
        file.create(mended.record, "roster imported")
    else:
        file.save(mended.record, "roster imported", read_at=before.version)
    if mended.record.plan.rounds:
        show(repair_lines(mended))
    click.echo(f"Saved in {class_path}.")
