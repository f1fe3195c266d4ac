"""``grouper own-data``: a copy of all that is held on one student."""

from __future__ import annotations

import json
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument
from grouper.faces.cli.students import student_meant
from grouper.faces.wording.words import clean
from grouper.files.store import ClassFile
from grouper.privacy.own_data import own_data


@click.command()
@class_argument
@click.argument("student", metavar="STUDENT")
@click.option(
    "--to", "path", type=click.Path(path_type=Path), required=True, metavar="FILE", help="A name in .json or .html."
)
def command(class_path: Path, student: str, path: Path) -> None:
    """Write all that the class file holds on one student, and nothing of anybody else, for them or their parents."""
    from grouper.faces.sheets.report import own_data_text, write_page

    if path.suffix.lower() not in (".json", ".html"):
        raise InputError("'{path}' is neither .json nor .html", "name the file with one of the two", path=path)
    file = ClassFile(class_path)
    record = file.read().record
    facts = own_data(record, student_meant(record.roster, student), [change.what for change in file.history()])
    html = path.suffix.lower() == ".html"
    write_page(own_data_text(facts) if html else json.dumps(clean(facts), ensure_ascii=False, indent=2) + "\n", path)
    click.echo(f"Written: {path}")
    if facts["notes"] or facts["changes"]:
        click.echo("Read its notes and list of changes before you give it away: nicknames are not found.")
    if facts["notes_left_out"]["count"]:
        where = ", ".join(_place(place) for place in facts["notes_left_out"]["places"])
        click.echo(f"Left out, as a classmate has that name too: notes on {where}. Decide whom they are about.")


def _place(place: dict[str, int | None]) -> str:
    return f"lesson {place['lesson']}" + (f", round {place['round']}" if place["round"] else "")
