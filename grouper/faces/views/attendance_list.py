"""The class list of a lesson, to tick off: who should be there, and what the teacher wants at hand about each."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.history import turns_before
from grouper.faces.views.names import full_name
from grouper.faces.views.ordering import name_order
from grouper.faces.views.roles import HELPER, shown_role
from grouper.model.record import ClassRecord
from grouper.model.roster import Student


@dataclass(frozen=True)
class AttendanceLine:
    """A student of the class list.

    ``state`` is empty for those who take part, else ``away`` or ``aside``; ``since`` the round, over the lesson, from
    which on; ``ratings`` in the strands of the list, None where not rated; turns are those of earlier lessons.
    """

    name: str
    short_name: str
    state: str
    since: int
    role: str
    ratings: tuple[float | None, ...]
    size_band: str
    trio_turns: int
    coach_turns: int

    @property
    def role_on_wall(self) -> str:
        """What students read as the role of somebody who is aside."""
        return shown_role(self.role, HELPER)


def attendance_list(
    record: ClassRecord, lesson: int, names: dict[str, str], strands: tuple[str, ...]
) -> tuple[AttendanceLine, ...]:
    """A line for each student who belongs to the class in a lesson, by the alphabet."""
    turns = turns_before(record, lesson)
    lines = [
        _line(record, lesson, student, names[student.id], strands, turns.trio[student.id], turns.coach[student.id])
        for student in record.roster.students
        if student.belongs_in(lesson)
    ]
    return tuple(sorted(lines, key=lambda line: (name_order(line.name), name_order(line.short_name))))


def _line(
    record: ClassRecord, lesson: int, student: Student, short: str, strands: tuple[str, ...], trio: int, coach: int
) -> AttendanceLine:
    state, since, role = _state(record, lesson, student)
    ratings = tuple(student.ratings.get(strand) for strand in strands)
    return AttendanceLine(full_name(student), short, state, since, role, ratings, student.size_band, trio, coach)


def _state(record: ClassRecord, lesson: int, student: Student) -> tuple[str, int, str]:
    absence = record.absence(student.id, lesson)
    if absence:
        return absence.state, absence.since, absence.role
    return student.availability, 1, ""
