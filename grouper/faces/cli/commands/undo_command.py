"""``grouper undo``: take back the last change."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument, show
from grouper.faces.cli.stepping import Step, yes_option
from grouper.files.store import ClassFile


@click.command()
@class_argument
@yes_option
def command(class_path: Path, yes: bool) -> None:
    """Take back the last change of the class file, whatever it was; again for the one before. grouper redo does it
    again.
    """
    step = Step(yes)
    click.echo(f"Taken back: {ClassFile(class_path).undo(check=step.check).what}.")
    show(step.lines())
