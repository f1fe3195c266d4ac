"""The class list of a lesson, to tick off: who should be there, and what the teacher wants at hand about each."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.absence_words import AbsenceWords, absences_in_words
from grouper.faces.views.history import turns_before
from grouper.faces.views.names import full_name
from grouper.faces.views.ordering import name_order
from grouper.faces.views.roles import HELPER, shown_role
from grouper.model.noted import LATE
from grouper.model.record import ClassRecord
from grouper.model.roster import Student


@dataclass(frozen=True)
class AttendanceLine:
    """A student of the class list.

    ``absences`` are empty for those who take part in all rounds; ``missing`` says that they are not expected at the
    beginning; ``ratings`` in the strands of the list, None where not rated; turns are those of earlier lessons.
    """

    name: str
    short_name: str
    absences: tuple[AbsenceWords, ...]
    missing: bool
    ratings: tuple[float | None, ...]
    size_band: str
    trio_turns: int
    coach_turns: int

    @property
    def role_on_wall(self) -> str:
        """What students read as the role of somebody who is aside, where it is another word than the teacher's."""
        asides = [absence.role for absence in self.absences if absence.state == "aside"]
        shown = shown_role(asides[-1], HELPER) if asides else ""
        return "" if not asides or shown == asides[-1] else shown


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
    ratings = tuple(student.ratings.get(strand) for strand in strands)
    absences = absences_in_words(record, lesson, student.id)
    if not absences and student.availability:
        absences = (AbsenceWords(student.availability),)
    missing = any(absence.state in ("away", LATE) and absence.from_start for absence in absences)
    return AttendanceLine(full_name(student), short, absences, missing, ratings, student.size_band, trio, coach)

