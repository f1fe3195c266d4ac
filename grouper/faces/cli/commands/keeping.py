"""What is held on people: told to them, handed over, erased, cleared away."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import agreed, class_argument, file_type, show, student_meant
from grouper.faces.wording.changes import repair_lines
from grouper.faces.wording.privacy import RETENTION, elsewhere_lines, erasing_lines, left_lines, purging_lines
from grouper.faces.wording.words import clean
from grouper.files.store import ClassFile
from grouper.games.days.groups import stale_play
from grouper.planning.attend import leaving_lesson, out_of_class
from grouper.planning.requests import request_in_words
from grouper.privacy.erase import erasure_of
from grouper.privacy.less import Clearing, cleared, handed_over
from grouper.privacy.own_data import own_data
from grouper.words import counted


@click.command()
@class_argument
@click.argument("student", metavar="STUDENT")
@click.option("--to", "path", type=file_type, required=True, metavar="FILE", help="A name in .json or .html.")
def own_data_command(class_path: Path, student: str, path: Path) -> None:
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
        where = ", ".join(
            f"lesson {place['lesson']}" + (f", round {place['round']}" if place["round"] else "")
            for place in facts["notes_left_out"]["places"]
        )
        click.echo(f"Left out, as a classmate has that name too: notes on {where}. Decide whom they are about.")


@click.command()
@class_argument
@click.option("--to", "path", type=file_type, required=True, metavar="NEW.class", help="The file to make.")
@click.option("--with-ratings", is_flag=True, help="With the ratings.")
@click.option("--with-requests", is_flag=True, help="With the requests that are for all lessons.")
def handover_command(class_path: Path, path: Path, with_ratings: bool, with_requests: bool) -> None:
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


@click.command()
@class_argument
@click.argument("student", metavar="STUDENT")
@click.option("--yes", is_flag=True, help="Do it without asking.")
def erase_command(class_path: Path, student: str, yes: bool) -> None:
    """Erase a student: name, id, ratings, requests and notes go for good, what others did with them still counts.

    Says first what will happen. It cannot be undone, and neither can any change from before.
    """
    file = ClassFile(class_path)
    found = file.read()
    person = found.record.roster.by_id[student_meant(found.record.roster, student)]
    # Worked out before anybody is asked: a yes is to what was read.
    would = erasing_lines(found.record, person, erasure_of(found.record, person.id), leaving_lesson(found.record))
    if not agreed(yes, (*would, *elsewhere_lines(file.backups)), f"Erase {person.name}?"):
        raise click.Abort
    repair = out_of_class(found.record, person.id)
    left = file.forget(person.id, repair.record, found.version)
    show(repair_lines(repair) if repair.changes else ())
    show(stale_play(repair.record, before=found.record))
    click.echo(f"Erased from {class_path}.")
    show(left_lines(left))


@click.command()
@class_argument
@click.option("--ratings", is_flag=True, help="Ratings, size bands and availability go too.")
@click.option("--names", is_flag=True, help="All names and ids go too, and the ratings with them.")
@click.option("--yes", is_flag=True, help="Do it without asking.")
def purge_command(class_path: Path, ratings: bool, names: bool, yes: bool) -> None:
    """Clear away what a unit leaves behind: requests, notes, results, scores, absences, the list of changes.

    Who worked with whom stays, so that the next unit can build on it. Says first what will happen; it cannot be undone.
    """
    file = ClassFile(class_path)
    found = file.read()
    clearing = Clearing(ratings, names)
    would = (*purging_lines(found.record, clearing), *elsewhere_lines(file.backups), RETENTION)
    if not agreed(yes, would, "Clear it away?"):
        raise click.Abort
    left = file.purge(cleared(found.record, clearing), found.version)
    click.echo(f"Cleared away from {class_path}.")
    show(left_lines(left))
