"""Attendance in counts: who took part, was there to help, or was away, and never why."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Lesson


@dataclass(frozen=True)
class Attendance:
    """Of some lessons, or students in a lesson: in how many they took part throughout, in part, helped, or were away.

    ``helped`` is there without taking part, ``no_group`` is in no group and nobody noted why, as after a file has been
    cleared; a lesson counts once, under the first of the five that fits.
    """

    full: int = 0
    part: int = 0
    helped: int = 0
    away: int = 0
    no_group: int = 0

    @property
    def lessons(self) -> int:
        """All of them."""
        return self.full + self.part + self.helped + self.away + self.no_group

    def __add__(self, other: Attendance) -> Attendance:
        return Attendance(
            self.full + other.full,
            self.part + other.part,
            self.helped + other.helped,
            self.away + other.away,
            self.no_group + other.no_group,
        )


def attendance(record: ClassRecord, student: Student, lesson: Lesson) -> Attendance:
    """One student in one lesson, by the groups as they were; nothing where they do not belong to it or it has none."""
    rounds = record.plan.of_lesson(lesson.number)
    if not rounds or not student.belongs_in(lesson.number):
        return Attendance()
    took_part = [round_.group_of(student.id) is not None for round_ in rounds]
    if all(took_part):
        return Attendance(full=1)
    if any(took_part):
        return Attendance(part=1)
    states = {record.state(student, round_.key) for round_ in rounds}
    if "aside" in states:
        return Attendance(helped=1)
    return Attendance(away=1) if "away" in states else Attendance(no_group=1)


def attendance_of(record: ClassRecord, student: Student) -> Attendance:
    """One student over all lessons of a record."""
    return sum((attendance(record, student, lesson) for lesson in record.unit.lessons), Attendance())


def attendance_in(record: ClassRecord, lesson: Lesson) -> Attendance:
    """All students in one lesson."""
    return sum((attendance(record, student, lesson) for student in record.roster.students), Attendance())
