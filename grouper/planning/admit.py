"""Take a roster, a unit and requests into a class: what is known stays, who is gone is archived, who is new joins."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Lesson, Unit
from grouper.planning.attend import first_open_lesson
from grouper.planning.noting import without_stale


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
    gone = tuple(s.name for s in record.roster.students if not s.archived and s.id not in fresh)
    back = [s.name for s in record.roster.students if s.archived and s.id in fresh]
    return Admission(merged, tuple([s.name for s in new] + back), gone)


def _updated(known: Student, fresh: Student | None, start: int) -> Student:
    if fresh is None:
        return known if known.archived else replace(known, last_lesson=start - 1)
    first = start if known.archived else known.first_lesson
    ratings = {**known.ratings, **fresh.ratings}
    return replace(fresh, ratings=ratings, first_lesson=first, last_lesson=None)


def admit_unit(record: ClassRecord, unit: Unit) -> ClassRecord:
    """The class with a unit read anew: taught lessons stay as they were taught.

    Lessons that the new unit no longer has, or has with other activities, lose their groups; another date or other
    minutes change none.

    Raises
    ------
    InputError
        The new unit lacks a lesson that has been taught.
    """
    lessons = tuple(_taught_or_new(record, lesson) for lesson in unit.lessons)
    missing = record.taught - {lesson.number for lesson in lessons}
    if missing:
        raise InputError(f"lesson {min(missing)} has been taught and is missing; leave taught lessons in the table")
    known = {lesson.number: lesson for lesson in record.unit.lessons}
    kept = {key for lesson in lessons if _same_groups(lesson, known.get(lesson.number)) for key in lesson.keys}
    rounds = tuple(round_ for round_ in record.plan.rounds if round_.key in kept)
    numbers = {lesson.number for lesson in lessons}
    absences = tuple(absence for absence in record.absences if absence.lesson in numbers)
    admitted = replace(record, unit=Unit(lessons), plan=replace(record.plan, rounds=rounds), absences=absences)
    return without_stale(admitted, record.plan)


def _same_groups(lesson: Lesson, known: Lesson | None) -> bool:
    """Whether a lesson needs the same groups as before: another date or other minutes change nothing."""
    if known is None:
        return False
    one, other = ([replace(a, minutes=None) for a in each.activities] for each in (lesson, known))
    return one == other


def _taught_or_new(record: ClassRecord, lesson: Lesson) -> Lesson:
    return record.lesson(lesson.number) if lesson.number in record.taught else lesson


def admit_requests(record: ClassRecord, requests: tuple[Request, ...]) -> ClassRecord:
    """The class with requests read anew in the place of those that it had."""
    return replace(record, requests=requests)
