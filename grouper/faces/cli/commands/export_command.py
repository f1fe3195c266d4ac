"""``grouper export``: groups as CSV."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument
from grouper.faces.cli.play_options import FileOf
from grouper.files.groups import write_groups
from grouper.files.store import ClassFile


@click.command()
@class_argument
@click.option("--groups", type=FileOf(".csv"), required=True, metavar="FILE.csv", help="Where to write.")
def command(class_path: Path, groups: Path) -> None:
    """Write the groups of the whole unit to a CSV file, a row a student a round."""
    write_groups(groups, ClassFile(class_path).read().record)
    click.echo(f"Groups written to {groups}.")
