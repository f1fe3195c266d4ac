"""What erasing a student, or clearing a class file, does and does not do, said before it is done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.requests import request_in_words
from grouper.privacy.erase import Erasure
from grouper.privacy.less import Clearing
from grouper.words import counted, listed

RETENTION = (
    "How long records are kept, school policy and the law decide. FERPA (34 CFR 99.3) counts a teacher's own notes as "
    "no part of a student's record only while nobody else gets to see them; under the GDPR (Art. 5(1)(e) and 17) "
    "personal data goes once it is not needed any more. Common practice: at the end of the school year all of it goes."
)
ELSEWHERE = (
    "Not touched, to be deleted by hand: copies of the file, those of a cloud or backup service too; exported tables, "
    "sheets, reports and calendars; what was handed over; printed paper."
)


def erasing_lines(record: ClassRecord, person: Student, erasure: Erasure, leaves_at: int | None) -> Iterator[str]:
    """What happens to everything that is held on a student of a class."""
    asked = [request for request in record.requests if person.id in request.pair]
    if not person.archived:
        at = f"from lesson {leaves_at} on; the groups to come are changed"
        now = "now, as no lesson is left"
        yield f"{person.name} ({person.id}) is still in the class and leaves it {now if leaves_at is None else at}."
    yield f"The name and the id become '{erasure.neutral}' everywhere, so that the counts of all others stay."
    yield f"Ratings, size band, availability, roles while away or aside, and {counted(len(asked), 'request')} go."
    yield from (f"A request that ends: {request_in_words(record.roster, request)}." for request in asked)
    if erasure.notes:
        places = (f"lesson {note.lesson}" + (f", round {note.place}" if note.place else "") for note in erasure.notes)
        yield f"Notes with a part of the name go: {listed(list(places))}."
    if erasure.replaced:
        yield f"The name is replaced in: {_quoted(erasure.replaced)}."
    if erasure.kept:
        yield f"A part of the name is in these, which stay; rename them if need be: {_quoted(erasure.kept)}."
    yield "The list of changes goes: nothing from before can be undone."


def purging_lines(record: ClassRecord, clearing: Clearing) -> Iterator[str]:
    """What goes and what stays at the end of a unit."""
    counts = (
        (len(record.requests), "request"),
        (len(record.notes), "note"),
        (len(record.results), "task result"),
        (len(record.chosen_tasks), "chosen step"),
        (len(record.learnt), "suggested rating"),
        (len(record.absences), "absence"),
        (sum(len(day.scored) for day in record.games), "score"),
    )
    going = [counted(count, what) for count, what in counts if count]
    going += ["games and stations"] * bool(record.events)
    yield f"These go: {listed([*going, 'the list of changes'])}. Nothing from before can be undone."
    yield from (f"A request that ends: {request_in_words(record.roster, request)}." for request in record.requests)
    open_lessons = [str(lesson.number) for lesson in record.unit.lessons if lesson.number not in record.taught]
    if open_lessons:
        alone = len(open_lessons) == 1
        noun, verbs = ("Lesson", ("was", "goes")) if alone else ("Lessons", ("were", "go"))
        yield f"{noun} {listed(open_lessons)} {verbs[0]} not taught and {verbs[1]} with it."
    yield "Groups stay as they ran, without who was away or had another role; the next unit builds on them."
    if clearing.names:
        yield "All names and ids become 'student' and a number, in a random order; ratings go too."
    elif clearing.ratings:
        yield "Ratings, size bands and availability go too; names and ids stay."
    else:
        yield "Names, ids, ratings, size bands and availability stay unless you let go of them too."


def elsewhere_lines(backups: Sequence[Path]) -> Iterator[str]:
    """What is not in the file, and therefore stays."""
    yield ELSEWHERE
    if backups:
        copies = listed([backup.name for backup in backups])
        yield f"Copies beside it, and files that were not written to their end, may hold all of it still: {copies}."


def left_lines(left: str) -> Iterator[str]:
    """What could not be finished now, if anything."""
    if left:
        yield f"Left to do: {left}."


def _quoted(texts: Sequence[str]) -> str:
    return listed([f"'{text}'" for text in texts])
