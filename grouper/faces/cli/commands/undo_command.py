"""``grouper undo``: take back the last change."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument
from grouper.files.store import ClassFile


@click.command()
@class_argument
def command(class_path: Path) -> None:
    """Take back the last change of the class file, whatever it was; again for the one before."""
    click.echo(f"Taken back: {ClassFile(class_path).undo().what}.")
