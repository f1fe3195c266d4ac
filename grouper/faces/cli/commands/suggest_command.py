"""``grouper suggest``: ratings that results suggest."""

from __future__ import annotations

from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import class_argument, found, names, show
from grouper.faces.cli.suggestion_lines import suggestion_lines
from grouper.faces.views.suggestions_view import strand_part, suggestions_view
from grouper.faces.wording.changes import accepted_in_words
from grouper.files.store import ClassFile
from grouper.learning.about import named
from grouper.learning.suggest import Suggestion, accepted, suggestions
from grouper.model.record import ClassRecord


@click.command()
@class_argument
@click.option(
    "--strand",
    metavar="NAME",
    help="Just this one; results of activities that belong to no strand count for it too.",
)
@click.option(
    "--accept",
    "wanted",
    multiple=True,
    metavar="all|STUDENT",
    help="Take over all suggestions, or those for a student; may stand again.",
)
def command(class_path: Path, strand: str | None, wanted: tuple[str, ...]) -> None:
    """Show what games and tasks suggest about ratings, each with its reason. You decide: nothing changes by itself.

    For the teacher alone; students never see it. Accepted ratings count from the next plan on.
    """
    file = ClassFile(class_path)
    if not wanted:
        chosen = f" --strand {strand}" if strand else ""
        how = f"grouper suggest {class_path.name}{chosen} --accept all"
        show(suggestion_lines(suggestions_view(file.read().record, strand), how))
        return
    with file.change("") as edit:
        before = edit.record if strand is None else named(edit.record, strand)
        taken = _taken(before, suggestions(before, strand), wanted)
        edit.what = accepted_in_words(len(taken), list(dict.fromkeys(each.strand for each in taken)))
        edit.record = accepted(before, taken)
    click.echo(f"{edit.what}:")
    for of in dict.fromkeys(each.strand for each in taken):
        part = strand_part(before, of, (each for each in taken if each.strand == of))
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
