"""``grouper demo``: the main job on an invented class."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.admission import Given, admitted
from grouper.faces.cli.common import progress, show
from grouper.faces.wording.fairness import summary_lines
from grouper.files.example import demo_folder
from grouper.files.store import ClassFile
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit

CLASSES = ("small", "odd", "hard")


@click.command()
@click.option("--class", "chosen", type=click.Choice(CLASSES), default="odd", show_default=True, help="Which class.")
@click.option(
    "--to",
    "folder",
    type=click.Path(path_type=Path),
    default=Path("grouper-demo"),
    show_default=True,
    metavar="FOLDER",
    help="Where to write.",
)
def command(chosen: str, folder: Path) -> None:
    """Plan the unit of an invented class, show how fair it is, and write the sheets of its first lesson."""
    from grouper.faces.sheets.write import write_sheets

    _make(folder)
    tables = demo_folder() / chosen
    record = admitted(Given(tables / "roster.csv", tables / "lessons.csv", tables / "requests.csv"), None)
    with progress("Planning") as watch:
        outcome = plan_unit(record, watch=watch)
    class_file = folder / f"demo-{chosen}.class"
    _clear(class_file)
    ClassFile(class_file).create(outcome.record, "first plan")
    show(summary_lines(outcome.record, fairness_of(outcome.record)))
    click.echo(f"Class file: {class_file}")
    for path in write_sheets(outcome.record, 1, folder):
        click.echo(f"Sheet: {path}")


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            "the folder {folder} cannot be made ({strerror})",
            "name another with --to",
            folder=folder,
            strerror=error.strerror,
        ) from error


def _clear(class_file: Path) -> None:
    """Make room for the class file of the demo, where one of an earlier run stands."""
    try:
        class_file.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror
        raise InputError(
            "{class_file} cannot be replaced ({why})", "name another folder with --to", class_file=class_file, why=why
        ) from error
