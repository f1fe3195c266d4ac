"""``grouper handover``: a new class file for the next teacher."""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument
from grouper.files.store import ClassFile
from grouper.planning.requests import request_in_words
from grouper.privacy.less import handed_over
from grouper.words import counted


@click.command()
@class_argument
@click.option(
    "--to", "path", type=click.Path(path_type=Path), required=True, metavar="NEW.class", help="The file to make."
)
@click.option("--with-ratings", is_flag=True, help="With the ratings.")
@click.option("--with-requests", is_flag=True, help="With the requests that are for all lessons.")
def command(class_path: Path, path: Path, with_ratings: bool, with_requests: bool) -> None:
    """Make a new class file for the next teacher: names, ids, and who has worked with whom in the lessons taught.

    Ratings and requests stay behind unless asked for; notes, results, absences, size bands and the list of changes
    always do.
    """
    if ClassFile(path).exists:
        raise InputError("{path} is there already", "give the new file another name", path=path)
    before = ClassFile(class_path).read().record
    record = handed_over(before, with_ratings, with_requests)
    ClassFile(path).create(record, "handed over")
    rounds = counted(len(record.past), "round")
    click.echo(f"Written: {path}, {counted(len(record.roster.active), 'student')}, {rounds} with who was with whom.")
    click.echo(f"Ratings: {'with them' if with_ratings else 'left out'}.")
    click.echo(f"Requests: {counted(len(record.requests), 'request') + ' with it' if with_requests else 'left out'}.")
    for request in before.requests:
        if request not in record.requests:
            click.echo(f"  stays behind: {request_in_words(before.roster, request)}")
    click.echo(f"The next teacher gives it lessons with: grouper plan {shlex.quote(path.name)} --lessons FILE")
