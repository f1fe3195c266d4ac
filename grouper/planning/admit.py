"""Take a roster, a unit and requests into a class: what is known stays, who is gone is archived, who is new joins."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Lesson, Unit
from grouper.planning.attend import first_open_lesson, not_there_before
from grouper.planning.reshape import reshaped


@dataclass(frozen=True)
class Admission:
    """A record with the new roster, and who joined, came back or was archived, by name."""

    record: ClassRecord
    joined: tuple[str, ...] = ()
    archived: tuple[str, ...] = ()


def admit_roster(record: ClassRecord, roster: Roster) -> Admission:
    """The class with a roster read anew, matched by id; from the first lesson on that has not been taught.

    Students who are no longer on it are archived and keep their history; strands that it lacks keep their ratings.
    """
    start = first_open_lesson(record)
    fresh = {student.id: student for student in roster.students}
    known = record.roster.by_id
    students = [_updated(student, fresh.get(student.id), start) for student in record.roster.students]
    new = [replace(s, first_lesson=start if record.taught else 1) for s in roster.students if s.id not in known]
    strands = tuple(dict.fromkeys((*roster.strands, *record.roster.strands)))
    merged = replace(record, roster=Roster((*students, *new), strands))
    back = [s for s in record.roster.students if s.archived and s.id in fresh]
    merged = not_there_before(merged, [s.id for s in (*new, *back)], start)
    gone = tuple(s.name for s in record.roster.students if not s.archived and s.id not in fresh)
    return Admission(merged, tuple(s.name for s in (*new, *back)), gone)


def _updated(known: Student, fresh: Student | None, start: int) -> Student:
    if fresh is None:
        return known if known.archived else replace(known, last_lesson=start - 1)
    first = start if known.archived else known.first_lesson
    ratings = {**known.ratings, **fresh.ratings}
    return replace(fresh, ratings=ratings, first_lesson=first, last_lesson=None)


def admit_unit(record: ClassRecord, unit: Unit) -> ClassRecord:
    """The class with a unit read anew: taught lessons stay as they were taught.

    Lessons that the new unit no longer has lose their groups; of those that it has with other activities, each activity
    keeps them that still is for the same people in the same way (see ``reshape``).

    Raises
    ------
    InputError
        The new unit lacks a lesson that has been taught, or a round that has begun.
    """
    lessons = tuple(_taught_or_new(record, lesson) for lesson in unit.lessons)
    missing = record.taught - {lesson.number for lesson in lessons}
    if missing:
        raise InputError(f"lesson {min(missing)} has been taught and is missing; leave taught lessons in the table")
    return reshaped(record, Unit(lessons))


def with_rest(record: ClassRecord, lesson: int, target: int) -> ClassRecord:
    """What was left of a lesson that ended early stands at the beginning of another, to be planned.

    Raises
    ------
    InputError
        Nothing was left or it has been put somewhere already, or the other lesson has been taught or has begun.
    """
    unheld = next((one for one in record.unheld if one.lesson == lesson), None)
    if unheld is None:
        raise InputError(f"nothing is left of lesson {lesson}; grouper taught --up-to-round says where it ended")
    if unheld.rest_in in {each.number for each in record.unit.lessons}:
        raise InputError(f"what was left of lesson {lesson} is in lesson {unheld.rest_in} already")
    record.check_open(target)
    taken = {activity.name for activity in record.lesson(target).activities}
    left = [replace(a, name=f"{a.name}, from lesson {lesson}") if a.name in taken else a for a in unheld.rest]
    lessons = tuple(
        replace(each, activities=(*left, *each.activities)) if each.number == target else each
        for each in record.unit.lessons
    )
    planned = reshaped(record, Unit(lessons))
    others = tuple(one for one in record.unheld if one != unheld)
    there = sorted((*others, replace(unheld, rest_in=target)), key=lambda one: one.lesson)
    return replace(planned, unheld=tuple(there))


def _taught_or_new(record: ClassRecord, lesson: Lesson) -> Lesson:
    return record.lesson(lesson.number) if lesson.number in record.taught else lesson


def admit_requests(record: ClassRecord, requests: tuple[Request, ...]) -> ClassRecord:
    """The class with requests read anew in the place of those that it had."""
    return replace(record, requests=requests)
