"""``grouper redo``: do again what was taken back."""

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
    """Do the change again that was taken back last; again for the one after it. A new change ends that."""
    step = Step(yes)
    click.echo(f"Done again: {ClassFile(class_path).redo(check=step.check).what}.")
    show(step.lines())
