"""A unit: read from the files that are given, planned, brought up to date by a new roster, followed by the next."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli import common
from grouper.faces.cli.remedies import said_lines
from grouper.faces.views.tasks_of_class import idle_lines
from grouper.faces.wording.changes import change_lines, ending_lines, repair_lines
from grouper.faces.wording.fairness import summary_lines
from grouper.faces.wording.telling import reading_lines
from grouper.files.cells import scale_of
from grouper.files.lessons import read_lessons
from grouper.files.opening import contents_of
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.games.days.groups import stale_play
from grouper.model.record import ClassRecord
from grouper.model.request import CLOSENESS, PREFERENCES
from grouper.model.roster import Roster
from grouper.planning.admit import NewList, admit_requests, admit_roster, admit_unit, brought_in
from grouper.planning.fairness import fairness_of
from grouper.planning.noting import dropped
from grouper.planning.plan import STEPS, plan_unit
from grouper.planning.ran import next_unit
from grouper.planning.recognise import NOBODY_SAID, Told, recognised
from grouper.planning.repair import repair
from grouper.planning.requests import became_of_requests
from grouper.words import counted, listed


@dataclass(frozen=True)
class Given:
    """The files that were named, which class of a OneRoster zip is meant, whether to show all notes on them, and what
    was said of who is who.

    ``scale`` says what words of ratings are worth, None for what the class remembers; ``yes`` where what is lost with
    lessons that are not as they were may be lost.
    """

    roster: Path | None = None
    lessons: Path | None = None
    requests: Path | None = None
    class_name: str = ""
    details: bool = False
    scale: str | None = None
    told: Told = NOBODY_SAID
    yes: bool = False


def admitted(given: Given, record: ClassRecord | None) -> ClassRecord:
    """The record with all that the files hold; tables that one workbook holds need not be named again (InputError where
    a new class has no roster).
    """
    if record is None and given.roster is None:
        raise InputError("the first plan needs a roster; name it with --roster FILE")
    if given.roster is not None and not (given.lessons and given.requests):
        contents = contents_of(given.roster)
        lessons = given.lessons or (given.roster if contents.lessons else None)
        requests = given.requests or (given.roster if contents.requests else None)
        given = replace(given, lessons=lessons, requests=requests)
    record = record or ClassRecord(Roster(()))
    if given.scale is not None:
        record = replace(record, settings=replace(record.settings, scale=scale_of(given.scale)))
    record = _with_roster(given, record)
    if given.lessons is not None:
        units = read_lessons(given.lessons, record.roster)
        common.show(reading_lines("lessons", units.summary, units.notes, given.details))
        changed = admit_unit(record, units.unit)
        lost = list(dropped(record, changed))
        # Said before it is done: what was noted of a lesson goes with its groups.
        if lost and not common.agreed(given.yes, lost, "Go on?"):
            raise click.Abort
        record = changed
    if given.requests is not None:
        numbers = tuple(lesson.number for lesson in record.unit.lessons)
        wishes = read_requests(given.requests, record.roster, numbers)
        common.show(reading_lines("requests", wishes.summary, wishes.notes, given.details))
        record = admit_requests(record, wishes.requests)
    return record


def _with_roster(given: Given, record: ClassRecord) -> ClassRecord:
    if given.roster is None:
        return record
    reading = read_roster(given.roster, given.class_name, record.roster, record.settings.scale)
    common.show(reading_lines("roster", reading.summary, reading.notes, given.details))
    new = NewList(reading.roster, reading.ids_made, reading.columns)
    admission = admit_roster(record, new, who_is_who(record.roster, new, given.told))
    if record.roster.students and admission.joined:
        click.echo(f"  joined: {listed(admission.joined)}")
    if admission.archived:
        click.echo(f"  no longer on the roster, archived: {listed(admission.archived)}")
    if record.roster.students:  # of a first list, what there is to say of names was said when it was read
        common.show(f"  {line}" for line in said_lines(admission.said))
    return admission.record


def told_of(roster: Roster, same: Iterable[str], new: Iterable[str], by_id: bool) -> Told:
    """What ``--same OLD=NEW`` and ``--new ID`` say of who is who; OLD is an id or a name that is unique in the class
    (InputError where a text says neither).
    """
    pairs: dict[str, str] = {}
    for text in same:
        old, equals, now = (part.strip() for part in text.partition("="))
        if not equals or not old or not now:
            raise InputError(
                "'{text}' is not OLD=NEW", "write the id that they had, =, and the id on the new list", text=text
            )
        if now in pairs:
            raise InputError("'{now}' is said to be two students", "say once who it is", now=now)
        pairs[now] = roster.find(old).id
    return Told(pairs, frozenset(new), by_id)


def who_is_who(before: Roster, new: NewList, told: Told) -> Told:
    """What was told of who is who on a new list, and on a terminal what is answered for each that is in doubt still."""
    while sys.stdin.isatty() and (doubts := recognised(before, new.roster, told).doubts):
        student, candidates = doubts[0].student, doubts[0].candidates
        click.echo(f"{student.name} ({student.id}) on the new list is")
        for number, was in enumerate(candidates, start=1):
            click.echo(f"  {number}  {was.name} ({was.id}{', who has left' if was.archived else ''})")
        click.echo("  0  a new student")
        chosen = click.prompt("Which", type=click.IntRange(0, len(candidates)))
        if chosen:
            told = replace(told, same={**told.same, student.id: candidates[chosen - 1].id})
        else:
            told = replace(told, new=told.new | {student.id})
    return told


class_name_option = click.option("--class-name", default="", metavar="NAME", help="Which class of a OneRoster zip.")
lost_option = click.option("--yes", is_flag=True, help="Agree to what is lost with lessons that are not as they were.")
effort_option = click.option(
    "--effort", type=click.Choice(list(STEPS)), default="usual", show_default=True, help="How long to search."
)

seed_option = click.option(
    "--seed", type=common.SEED, metavar="N", help="Another seed gives another plan, about as good."
)

USUAL = "usual"


@click.command()
@common.class_argument
@click.option("--roster", type=common.file_type, metavar="FILE", help="CSV, XLSX or OneRoster zip.")
@click.option("--lessons", type=common.file_type, metavar="FILE", help="CSV, or XLSX with a sheet of lessons.")
@click.option("--requests", type=common.file_type, metavar="FILE", help="CSV, or XLSX with a sheet of requests.")
@class_name_option
@common.scale_option
@seed_option
@effort_option
@click.option("--prefer", type=click.Choice([p or USUAL for p in PREFERENCES]), help="What matters most; remembered.")
@click.option(
    "--closeness",
    type=click.Choice(CLOSENESS),
    help="How much more two in a pair count as having met than two in a team; remembered.",
)
@common.details_option
@lost_option
def plan_command(
    class_path: Path,
    roster: Path | None,
    lessons: Path | None,
    requests: Path | None,
    class_name: str,
    scale: str | None,
    seed: int | None,
    effort: str,
    prefer: str | None,
    closeness: str | None,
    details: bool,
    yes: bool,
) -> None:
    """Plan the unit: every lesson that has not been taught, building on those that have.

    The first plan makes the class file CLASS and needs the roster and the lessons; a workbook may hold all three
    tables.
    """
    file = ClassFile(class_path)
    before = file.read() if file.exists else None
    given = Given(roster, lessons, requests, class_name, details, scale, yes=yes)
    record = admitted(given, before.record if before else None)
    if before is not None:
        # Pinned groups give way to nothing but a request that came after the pin.
        pinned = repair(record, pinned_only=True, before=before.record)
        for change in pinned.changes:
            common.show(change_lines(pinned.record, change))
        record = pinned.record
    if not record.unit.lessons:
        raise InputError("the class has no lessons yet; name them with --lessons FILE")
    if given.lessons is not None or given.roster is not None:
        # Tasks whose activity is in no lesson any more would never be seen again.
        common.show(idle_lines(record))
    with common.progress("Planning") as watch:
        chosen = record.settings.prefer if prefer is None else prefer.replace(USUAL, "")
        outcome = plan_unit(
            record,
            seed,
            effort,
            replace(record.settings, prefer=chosen, closeness=closeness or record.settings.closeness),
            watch,
        )
    # Read before the search and saved after it: a change in between is not overwritten, but refused.
    if before is None:
        file.create(outcome.record, "first plan")
    else:
        file.save(outcome.record, "plan", read_at=before.version)
    if before is not None:
        common.show(dropped(record, outcome.record))
        common.show(became_of_requests(before.record, outcome.record))
        common.show(stale_play(outcome.record))
    common.show(summary_lines(outcome.record, fairness_of(outcome.record)))
    click.echo(f"Saved in {class_path}.")


@click.command()
@common.class_argument
@click.option("--roster", type=common.file_type, required=True, metavar="FILE", help="CSV, XLSX, OneRoster.")
@class_name_option
@common.scale_option
@click.option("--same", multiple=True, metavar="OLD=NEW", help="The student with id OLD has id NEW on the new list.")
@click.option("--new", multiple=True, metavar="ID", help="The student with this id on the new list is new.")
@click.option("--by-id", is_flag=True, help="A known id is always the same student, whatever the name.")
@common.details_option
@lost_option
def import_command(
    class_path: Path,
    roster: Path,
    class_name: str,
    scale: str | None,
    same: tuple[str, ...],
    new: tuple[str, ...],
    by_id: bool,
    details: bool,
    yes: bool,
) -> None:
    """Read a roster into a class: new students join, who has left is archived, with their history.

    The same people under other ids are the same people, told by their names; where it is not sure who is who, nothing
    is changed until --same or --new says so. In the next lesson as few students move as possible; later lessons are
    planned again where somebody joined or left, with few changes.
    """
    file = ClassFile(class_path)
    found = file.read() if file.exists else None
    before = found.record if found else ClassRecord(Roster(()))
    told = told_of(before.roster, same, new, by_id)
    given = Given(roster, class_name=class_name, details=details, scale=scale, told=told, yes=yes)
    mended = brought_in(before, admitted(given, before if found else None))
    if found is None:
        file.create(mended.record, "roster imported")
    else:
        file.save(mended.record, "roster imported", read_at=found.version)
    if mended.record.plan.rounds:
        common.show(repair_lines(mended))
    common.show_beside(before, mended.record)
    click.echo(f"Saved in {class_path}.")


@click.command()
@common.class_argument
@click.option("--lessons", type=common.file_type, required=True, metavar="FILE", help="The lessons of the new unit.")
@click.option(
    "--half-life",
    type=click.FloatRange(0, 1000),
    metavar="WEEKS",
    help="After so many weeks a meeting counts half, 12 at first; 0 to forget earlier units; remembered.",
)
@seed_option
@effort_option
@common.details_option
def next_command(
    class_path: Path, lessons: Path, half_life: float | None, seed: int | None, effort: str, details: bool
) -> None:
    """End the unit and plan the next one, which knows who has worked with whom in those before.

    The rounds of lessons that were taught are remembered, the less the longer ago. Absences, notes, scores, and
    requests for certain lessons end with the old unit. One undo takes all of it back.
    """
    file = ClassFile(class_path)
    before = file.read()
    reading = read_lessons(lessons, before.record.roster)
    common.show(reading_lines("lessons", reading.summary, reading.notes, details))
    begun = next_unit(before.record, reading.unit)
    record = begun.record
    common.show(idle_lines(record))
    if half_life is not None:
        record = replace(record, settings=replace(record.settings, half_life=half_life))
    with common.progress("Planning") as watch:
        planned = plan_unit(record, seed, effort, record.settings, watch).record
    file.save(planned, "next unit", read_at=before.version)
    click.echo(f"The old unit is over: {counted(begun.rounds, 'round')} remembered.")
    common.show(f"  ended with it: {line}" for line in ending_lines(before.record))
    common.show(summary_lines(planned, fairness_of(planned)))
    click.echo(f"Saved in {class_path}.")
