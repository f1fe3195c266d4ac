"""What a tap at the door means, put into the verbs of planning; each makes a new record and says what it did."""

from __future__ import annotations

from dataclasses import replace

from grouper.errors import InputError
from grouper.faces.views.attendance_list import HELPER, shown_role
from grouper.model.noted import Absence
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.adjust import in_fewer_or_more as one_fewer_or_more
from grouper.planning.adjust import in_other_groups as regrouped
from grouper.planning.attend import absent, aside, join, late, namesakes, present
from grouper.planning.plan import parted

USUAL_ROLES = ("scorer", "timekeeper", "observer", "referee", "equipment", "camera")

GUEST = "guest"
"""How ids of guests begin."""

Done = tuple[ClassRecord, str]


def mark(record: ClassRecord, lesson: int, student: str, state: str, since: int, role: str) -> Done:
    """Somebody is ``away`` or ``aside`` with a role, from a round on."""
    name = known(record, student).name
    later = f", from round {since}" if since > 1 else ""
    if state == "aside":
        word = role or USUAL_ROLES[0]
        said = f"{name} sits out as {shown_role(word, HELPER)}{later}"
        return aside(record, lesson, (student,), word, since).record, said
    return absent(record, lesson, (student,), since).record, f"{name} is away{later}"


def comes_late(record: ClassRecord, lesson: int, student: str, usual: int, comes: int | None) -> Done:
    """Somebody is late: there from round ``comes`` on, or away until they come where nobody knows when.

    ``usual`` is the round from which on a word counts now: the first, or the next while the lesson runs.
    """
    name = known(record, student).name
    if comes is None:
        return late(record, lesson, (student,), usual).record, f"{name} is late"
    if comes == 1:
        raise InputError(
            "who is there from round 1 on is not late", "choose the round in which {name} comes", name=name
        )
    missed = usual if comes > usual else 1
    return late(record, lesson, (student,), missed, comes - 1).record, f"{name} is late, comes in round {comes}"


def back(record: ClassRecord, lesson: int, student: str, since: int) -> Done:
    """Somebody is here after all, or from a round on: those played before it stay as they were."""
    name = known(record, student).name
    came = any(absence.since < since for absence in record.absences_of(student, lesson))
    later = f" from round {since} on" if came else ""
    return present(record, lesson, (student,), since).record, f"{name} is here{later}"


def guest(record: ClassRecord, lesson: int, name: str, since: int = 1) -> Done:
    """Somebody who takes part in this lesson alone, from a round on: those before it have been played.

    A guest of before is the same guest.
    """
    if not name:
        raise InputError("a guest needs a name")
    person = Student(_guest_of_before(record, name) or new_id(record, GUEST), name)
    missed = (Absence(lesson, person.id, "away", 1, "", since - 1),) if since > 1 else ()
    later = any(other.number > lesson for other in record.unit.lessons)
    joined = join(replace(record, absences=(*record.absences, *missed)), person, lesson, lesson if later else None)
    return joined.record, f"{name} is a guest in lesson {lesson}"


def _guest_of_before(record: ClassRecord, name: str) -> str:
    """The id of a guest with this name whose lessons are all over; they lose none of them by being here again."""
    lessons = [lesson.number for lesson in record.unit.lessons if lesson.number not in record.taught]
    been = (s for s in namesakes(record, name) if s.id.startswith(GUEST) and not any(map(s.belongs_in, lessons)))
    return next((guest.id for guest in been), "")


def in_other_groups(
    record: ClassRecord, lesson: int, activity: str, groups: int, since: int = 1, sides: str = ""
) -> Done:
    """An activity is played in another number of groups, or other sides, from a round on, as when a court is closed."""
    mended = regrouped(record, lesson, activity, None if sides else groups, since=since, sides=sides)
    return mended.record, f"lesson {lesson}, {activity}: {sides or f'{groups} groups'}"


def in_fewer_or_more(record: ClassRecord, lesson: int, activity: str, by: int, since: int = 1) -> Done:
    """An activity is played in fewer and larger groups or sides, or in more and smaller ones, from a round on."""
    mended = one_fewer_or_more(record, lesson, activity, by, since)
    return mended.record, f"lesson {lesson}, {activity}: {'fewer, larger' if by < 0 else 'more, smaller'} groups"


def part(record: ClassRecord, lesson: int, one: str, other: str, since: int) -> Done:
    """Two are kept apart from a round of a lesson on, and in all later lessons."""
    names = f"{known(record, one).name} and {known(record, other).name}"
    return parted(record, lesson, one, other, since), f"{names} are apart from round {since} on"


def known(record: ClassRecord, student: str) -> Student:
    """The student with this id (InputError where there is none)."""
    if student not in record.roster.by_id:
        raise InputError("this student is no longer in the class; load the page again")
    return record.roster.by_id[student]


def new_id(record: ClassRecord, kind: str) -> str:
    """An id that nobody in the class has."""
    number = 1
    while f"{kind}-{number}" in record.roster.by_id:
        number += 1
    return f"{kind}-{number}"
