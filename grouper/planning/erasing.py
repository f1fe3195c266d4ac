"""Before a student can be erased they have to be out of the class: whoever is still in it leaves."""

from __future__ import annotations

from dataclasses import replace

from grouper.model.record import ClassRecord
from grouper.planning.attend import first_open_lesson, leave
from grouper.planning.repair import Repair


def leaving_lesson(record: ClassRecord) -> int | None:
    """The first lesson after all that have been taught; None where the unit has none left."""
    open_from = first_open_lesson(record)
    return next((lesson.number for lesson in record.unit.lessons if lesson.number >= open_from), None)


def out_of_class(record: ClassRecord, student: str) -> Repair:
    """The record without the student (id) in any lesson to come, its groups mended; as it is where they left before.

    Raises
    ------
    ImpossibleError
        The requests of the others cannot all be met without them.
    """
    person = record.roster.by_id[student]
    if person.archived:
        return Repair(record)
    lesson = leaving_lesson(record)
    if lesson is not None:
        return leave(record, student, lesson)
    gone = replace(person, last_lesson=first_open_lesson(record) - 1)
    return Repair(replace(record, roster=record.roster.with_student(gone)))
