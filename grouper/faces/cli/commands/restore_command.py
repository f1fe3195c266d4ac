"""``grouper restore``: a copy in the place of a class file that is damaged."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument
from grouper.files.store.restoring import restore


@click.command()
@class_argument
@click.option(
    "--from", "copy", type=click.Path(path_type=Path), required=True, metavar="COPY", help="The copy to bring back."
)
def command(class_path: Path, copy: Path) -> None:
    """Bring back a copy of a class file, safely: a plain copy over a damaged file can damage the copy too.

    The copy is checked first and stays where it is. The file that was there is kept under another name.
    """
    kept = restore(class_path, copy)
    click.echo(f"Brought back: {class_path}, as it was in {copy}.")
    if kept is not None:
        click.echo(f"What was there is kept as {kept.name}; delete it when you do not need it any more.")
