"""Read the files that a command was given into a class, and show what was understood of them."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import agreed, show
from grouper.faces.cli.remedies import said_lines
from grouper.faces.wording.telling import reading_lines
from grouper.files.cells import scale_of
from grouper.files.lessons import read_lessons
from grouper.files.opening import contents_of
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import Unit
from grouper.planning.admit import NewList, admit_requests, admit_roster, admit_unit
from grouper.planning.noting import dropped
from grouper.planning.recognise import NOBODY_SAID, Told, recognised
from grouper.words import listed


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
    """The record with all that the files hold; tables that one workbook holds need not be named again.

    Raises
    ------
    InputError
        A file cannot be understood, or a class that is new has no roster.
    """
    if record is None and given.roster is None:
        raise InputError("the first plan needs a roster; name it with --roster FILE")
    given = _with_sheets_of_workbook(given)
    record = record or ClassRecord(Roster(()))
    if given.scale is not None:
        record = replace(record, settings=replace(record.settings, scale=scale_of(given.scale)))
    record = _with_roster(given, record)
    if given.lessons is not None:
        lessons = read_lessons(given.lessons, record.roster)
        show(reading_lines("lessons", lessons.summary, lessons.notes, given.details))
        record = _with_unit(record, lessons.unit, given.yes)
    if given.requests is not None:
        numbers = tuple(lesson.number for lesson in record.unit.lessons)
        requests = read_requests(given.requests, record.roster, numbers)
        show(reading_lines("requests", requests.summary, requests.notes, given.details))
        record = admit_requests(record, requests.requests)
    return record


def _with_unit(record: ClassRecord, unit: Unit, yes: bool) -> ClassRecord:
    """The record with other lessons, once the teacher agrees to what is lost with those that are not as they were."""
    changed = admit_unit(record, unit)
    lost = list(dropped(record, changed))
    if lost and not agreed(yes, lost, "Go on?"):
        raise click.Abort
    return changed


def _with_sheets_of_workbook(given: Given) -> Given:
    if given.roster is None or (given.lessons and given.requests):
        return given
    contents = contents_of(given.roster)
    lessons = given.lessons or (given.roster if contents.lessons else None)
    requests = given.requests or (given.roster if contents.requests else None)
    return replace(given, lessons=lessons, requests=requests)


def _with_roster(given: Given, record: ClassRecord) -> ClassRecord:
    if given.roster is None:
        return record
    reading = read_roster(given.roster, given.class_name, record.roster, record.settings.scale)
    show(reading_lines("roster", reading.summary, reading.notes, given.details))
    new = NewList(reading.roster, reading.ids_made, reading.columns)
    admission = admit_roster(record, new, who_is_who(record.roster, new, given.told))
    if record.roster.students and admission.joined:
        click.echo(f"  joined: {listed(admission.joined)}")
    if admission.archived:
        click.echo(f"  no longer on the roster, archived: {listed(admission.archived)}")
    if record.roster.students:  # of a first list, what there is to say of names was said when it was read
        show(f"  {line}" for line in said_lines(admission.said))
    return admission.record


def told_of(roster: Roster, same: Iterable[str], new: Iterable[str], by_id: bool) -> Told:
    """What ``--same OLD=NEW`` and ``--new ID`` say of who is who; OLD is an id or a name that is unique in the class.

    Raises
    ------
    InputError
        A text is not OLD=NEW, nobody in the class is OLD, or one NEW is said to be two.
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
