"""``grouper history``: the changes of a class file."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument
from grouper.files.store import ClassFile


@click.command()
@class_argument
def command(class_path: Path) -> None:
    """List the changes of the class file, the last one at the end."""
    for change in ClassFile(class_path).history():
        click.echo(f"{change.at.astimezone():%Y-%m-%d %H:%M}  {change.what}")
