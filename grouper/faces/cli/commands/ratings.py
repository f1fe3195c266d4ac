"""Ratings that results and tests suggest, each with its reason."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, details_option, file_type, found, names, show
from grouper.faces.views import suggestions_view as views
from grouper.faces.wording.changes import accepted_in_words
from grouper.faces.wording.telling import reading_lines
from grouper.faces.wording.words import lessons_in_words
from grouper.files.measures import read_measures
from grouper.files.store import ClassFile
from grouper.learning.about import named
from grouper.learning.measured import suggestions_from
from grouper.learning.suggest import Suggestion, accepted, suggestions
from grouper.model.record import ClassRecord
from grouper.words import counted, listed


def part_lines(part: views.StrandSuggestions) -> Iterator[str]:
    """The suggestions of a strand, a line each."""
    if not part.rows:
        # The fewer results there are, the less a single player shows in them.
        seen = [counted(number, noun) for number, noun in ((part.games, "game"), (part.tasks, "task")) if number]
        yet = f" from {listed(seen)} so far; what one player can do shows over several lessons" if seen else ""
        yield f"{part.strand}: nothing more to suggest{yet}"
        return
    yield f"{part.strand}: {counted(len(part.rows), 'suggestion')}"
    width = max(len(row.name) for row in part.rows)
    for row in part.rows:
        change = f"{row.now} -> {row.suggested}"
        yield f"  {row.name:<{width}}  {change:<10}  {row.certainty:<10}  {row.reason}".rstrip()


@click.command()
@class_argument
@click.option(
    "--strand",
    metavar="NAME",
    help="Just this rating; results of activities without one count for it too.",
)
@click.option(
    "--accept",
    "wanted",
    multiple=True,
    metavar="all|STUDENT",
    help="Accept all suggestions, or those for a student; may be given again.",
)
def suggest_command(class_path: Path, strand: str | None, wanted: tuple[str, ...]) -> None:
    """Show what games and tasks suggest about ratings, each with its reason. You decide: nothing changes by itself.

    For the teacher alone; students never see it. Accepted ratings count from the next plan on.
    """
    file = ClassFile(class_path)
    if not wanted:
        view = views.suggestions_view(file.read().record, strand)
        if view.nothing_yet:
            click.echo("There are no results yet: enter games with grouper score, or how tasks went with grouper felt.")
        for part in view.parts:
            show(part_lines(part))
        if view.lessons_without_strand:
            where = lessons_in_words(view.lessons_without_strand)
            click.echo(
                f"Which rating the results of {where} are for is not known; say it with --strand "
                f"{listed(view.strands, 'or')}"
                if view.strands
                else f"Results of {where} need a rating, and nobody is rated yet; give the roster a column of ratings"
            )
        if view.lessons_outdated:
            click.echo(view.outdated)
        if view.count:
            chosen = f" --strand {strand}" if strand else ""
            click.echo(f"Nothing is changed yet. Accept with: grouper suggest {class_path.name}{chosen} --accept all")
        return
    with file.change("") as edit:
        before = edit.record if strand is None else named(edit.record, strand)
        taken = _taken(before, suggestions(before, strand), wanted)
        edit.what = accepted_in_words(len(taken), list(dict.fromkeys(each.strand for each in taken)))
        edit.record = accepted(before, taken)
    click.echo(f"{edit.what}:")
    for of in dict.fromkeys(each.strand for each in taken):
        part = views.strand_part(before, of, (each for each in taken if each.strand == of))
        show(f"  {row.name}: {row.now} -> {row.suggested} in {part.strand}" for row in part.rows)
    click.echo(f"They count from the next plan on: grouper plan {class_path.name}")


def _taken(record: ClassRecord, made: tuple[Suggestion, ...], wanted: tuple[str, ...]) -> tuple[Suggestion, ...]:
    """The suggestions that are meant by 'all' or by students."""
    if not made:
        raise InputError("there is nothing to accept: no rating is suggested")
    if "all" in [text.casefold() for text in wanted]:
        return made
    students = found(record, wanted)
    without = [student for student in students if student not in {each.student for each in made}]
    if without:
        have = names(record, dict.fromkeys(each.student for each in made))
        raise InputError(
            "no rating is suggested for {names}",
            "there are suggestions for {have}",
            names=names(record, without),
            have=have,
        )
    return tuple(each for each in made if each.student in students)


@click.command()
@class_argument
@click.argument("file", metavar="FILE.csv", type=file_type)
@click.option(
    "--strand", required=True, metavar="NAME", help="The rating that the test is for; a new name makes a new one."
)
@click.option(
    "--by",
    type=click.Choice(views.KINDS),
    required=True,
    help="20 m shuttle run (columns stage and age), or which numbers are better (column value).",
)
@click.option("--accept", is_flag=True, help="Accept the ratings.")
@details_option
def measure_command(class_path: Path, file: Path, strand: str, by: str, accept: bool, details: bool) -> None:
    """Work out ratings from a test, by rank among those in the file, such as:
    grouper measure 7b.class run.csv --strand fitness --by shuttle

    A row a student, by id or name. Ratings go from 1, the weakest, to 5, the strongest. Fitness is not skill: give it a
    rating of its own. Ages and results are not kept.
    """
    if not strand.strip():
        raise InputError("say what the test is about, such as --strand fitness")
    # Read under the lock, so that what is shown is what is accepted; without --accept nothing is written.
    with ClassFile(class_path).change("") as edit:
        reading = read_measures(file, edit.record.roster, views.columns_of(by))
        show(reading_lines("measures", reading.summary, reading.notes, details))
        measured = views.measured_from(reading, by)
        show(filter(None, [views.rank_line(edit.record, measured)]))
        made = suggestions_from(edit.record, strand, measured)
        show(part_lines(views.strand_part(edit.record, strand, made)))
        if accept and made:
            edit.what = accepted_in_words(len(made), [strand])
            edit.record = accepted(edit.record, made)
    if made:
        click.echo(f"{edit.what}." if accept else "Nothing is changed yet. Accept them with --accept")
