"""``grouper purge``: the end of a unit, or of a school year."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.asking import agreed
from grouper.faces.cli.common import class_argument, show
from grouper.faces.wording.privacy import RETENTION, elsewhere_lines, left_lines, purging_lines
from grouper.files.store import ClassFile
from grouper.privacy.less import Clearing, cleared


@click.command()
@class_argument
@click.option("--ratings", is_flag=True, help="Ratings, size bands and availability go too.")
@click.option("--names", is_flag=True, help="All names and ids go too, and the ratings with them.")
@click.option("--yes", is_flag=True, help="Do it without asking.")
def command(class_path: Path, ratings: bool, names: bool, yes: bool) -> None:
    """Clear away what a unit leaves behind: requests, notes, results, scores, absences, the list of changes.

    Who worked with whom stays, so that the next unit can build on it. Says first what will happen; it cannot be undone.
    """
    file = ClassFile(class_path)
    found = file.read()
    clearing = Clearing(ratings, names)
    would = (*purging_lines(found.record, clearing), *elsewhere_lines(file.backups), RETENTION)
    if not agreed(yes, would, "Clear it away?"):
        raise click.Abort
    left = file.purge(cleared(found.record, clearing), found.version)
    click.echo(f"Cleared away from {class_path}.")
    show(left_lines(left))
