"""``grouper report``: evidence at the end of a unit, on a class or on one student."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.faces.cli.common import class_argument
from grouper.files.store import ClassFile


@click.command()
@class_argument
@click.option("--to", "path", type=click.Path(path_type=Path), required=True, metavar="FILE.html", help="The file.")
@click.option("--nameless", is_flag=True, help="Without names, to share.")
@click.option("--whole", is_flag=True, help="The whole unit, lessons to come included.")
def command(class_path: Path, path: Path, nameless: bool, whole: bool) -> None:
    """Write a report to print: how fair it was, who met whom, turns, attendance, and for whom to care next."""
    from grouper.faces.sheets.report_write import report_text, write_page

    record = ClassFile(class_path).read().record
    write_page(report_text(record, class_path.stem, whole, with_names=not nameless), path)
    click.echo(f"Written: {path}")
