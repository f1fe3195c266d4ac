"""An empty workbook to fill in."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.files.writing import write_template


@click.command()
@click.argument("file", metavar="FILE.xlsx", type=click.Path(path_type=Path), default=Path("class.xlsx"))
def template_command(file: Path) -> None:
    """Write an empty workbook with the sheets roster, lessons and requests, and an example in each."""
    if file.exists():
        raise click.UsageError(f"{file} is there already; give another name")
    write_template(file)
    click.echo(f"Fill in {file}, then: grouper plan CLASS --roster {file}")
