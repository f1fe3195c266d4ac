"""The changes of a class file: listed, taken back, done again; and a damaged file brought back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from grouper.errors import InputError, require
from grouper.faces.cli.common import class_argument, file_type, show
from grouper.faces.wording.changes import begun_in_words, lessons_changed_line
from grouper.files.store import Change, ClassFile
from grouper.files.store.restoring import restore
from grouper.model.record import ClassRecord
from grouper.planning.reshape import begun_that_change, changes_in

yes_option = click.option("--yes", is_flag=True, help="Also where rounds change that have begun.")


@click.command()
@class_argument
def history_command(class_path: Path) -> None:
    """List the changes of the class file, the last one at the end."""
    for change in ClassFile(class_path).history():
        click.echo(f"{change.at.astimezone():%Y-%m-%d %H:%M}  {change.what}")


@click.command()
@class_argument
@yes_option
def undo_command(class_path: Path, yes: bool) -> None:
    """Take back the last change of the class file, whatever it was; again for the one before. grouper redo does it
    again.
    """
    _step(ClassFile(class_path).undo, "Taken back", yes)


@click.command()
@class_argument
@yes_option
def redo_command(class_path: Path, yes: bool) -> None:
    """Do the change again that was taken back last; again for the one after it. A new change ends that."""
    _step(ClassFile(class_path).redo, "Done again", yes)


def _step(step: Callable[..., Change], done: str, yes: bool) -> None:
    """A step, which stops where it would change what has begun unless the teacher said yes, and what it changed."""
    seen: list[tuple[ClassRecord, ClassRecord]] = []

    def check(before: ClassRecord, after: ClassRecord) -> None:
        seen.append((before, after))
        begun = begun_that_change(before, after)
        if begun and not yes:
            raise InputError(
                "{rounds} would change", "nothing was done; add --yes to do it", rounds=begun_in_words(before, begun)
            )

    click.echo(f"{done}: {step(check=check).what}.")
    for before, after in seen:
        show(lessons_changed_line(changes_in(before, after)))


@click.command()
@class_argument
@click.option("--from", "copy", type=file_type, required=True, metavar="COPY", help="The copy to bring back.")
def restore_command(class_path: Path, copy: Path) -> None:
    """Bring back a copy of a class file, safely: a plain copy over a damaged file can damage the copy too.

    The copy is checked first and stays where it is. The file that was there is kept under another name.
    """
    require(copy.exists(), "there is no file {copy}", "name the copy that is to be brought back", copy=copy)
    kept = restore(class_path, copy)
    click.echo(f"Brought back: {class_path}, as it was in {copy}.")
    if kept is not None:
        click.echo(f"What was there is kept as {kept.name}; delete it when you do not need it any more.")
