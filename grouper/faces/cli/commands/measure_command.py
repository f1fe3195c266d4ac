"""``grouper measure``: ratings from a test."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, details_option, show
from grouper.faces.cli.suggestion_lines import part_lines
from grouper.faces.views.suggestions_view import KINDS, columns_of, measured_from, rank_line, strand_part
from grouper.faces.wording.changes import accepted_in_words
from grouper.faces.wording.telling import reading_lines
from grouper.files.measures import read_measures
from grouper.files.store import ClassFile
from grouper.learning.measured import suggestions_from
from grouper.learning.suggest import accepted


@click.command()
@class_argument
@click.argument("file", metavar="FILE.csv", type=click.Path(path_type=Path))
@click.option("--strand", required=True, metavar="NAME", help="What the test is about; a new one comes to be.")
@click.option(
    "--by",
    type=click.Choice(KINDS),
    required=True,
    help="20 m shuttle run (columns stage and age), or which numbers are better (column value).",
)
@click.option("--accept", is_flag=True, help="Take the ratings over.")
@details_option
def command(class_path: Path, file: Path, strand: str, by: str, accept: bool, details: bool) -> None:
    """Work out ratings from a test, by rank among those in the file, such as:
    grouper measure 7b.class run.csv --strand fitness --by shuttle

    A row a student, by id or name. Fitness is not skill: give it a strand of its own. Ages and results are not kept.
    """
    if not strand.strip():
        raise InputError("say what the test is about, such as --strand fitness")
    with ClassFile(class_path).change("") as edit:
        reading = read_measures(file, edit.record.roster, columns_of(by))
        show(reading_lines("measures", reading.summary, reading.notes, details))
        measured = measured_from(reading, by)
        show(filter(None, [rank_line(edit.record, measured)]))
        made = suggestions_from(edit.record, strand, measured)
        show(part_lines(strand_part(edit.record, strand, made)))
        if accept and made:
            edit.what = accepted_in_words(len(made), [strand])
            edit.record = accepted(edit.record, made)
    if made:
        click.echo(f"{edit.what}." if accept else "Nothing is changed yet. Take them over with --accept")
