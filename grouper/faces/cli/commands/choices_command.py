"""``grouper choices``: plans to pick from."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.choice_lines import choice_lines
from grouper.faces.cli.common import SEED, class_argument, progress, show
from grouper.faces.cli.play_options import FileOf
from grouper.faces.views.tradeoff_curve import tradeoff_svg
from grouper.files.atomic import write_whole
from grouper.files.store import ClassFile
from grouper.planning.outcome import STEPS
from grouper.planning.several import choices


@click.command()
@class_argument
@click.option("--seed", type=SEED, metavar="N", help="As for plan; the class's own if left out.")
@click.option("--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How hard to try.")
@click.option("--to", "file", type=FileOf(".svg"), metavar="FILE.svg", help="Draw them as a curve.")
def command(class_path: Path, seed: int | None, effort: str, file: Path | None) -> None:
    """Show plans from newest partners to most even teams, none beaten by another, and how to take each.

    Nothing is changed: a plan is taken with the command that stands beside it.
    """
    record = ClassFile(class_path).read().record
    with progress("Planning") as watch:
        made = choices(record, seed, effort, watch)
    show(choice_lines(made, class_path.name, seed, effort))
    if file is not None:
        write_whole(file, tradeoff_svg(made).encode("utf-8"))
        click.echo(f"Curve: {file}")
