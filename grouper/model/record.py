"""All that a class file holds: one value, replaced rather than changed."""

from __future__ import annotations

from dataclasses import dataclass, field

from grouper.model.attendance import Absence
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.plan import Plan
from grouper.model.points import Points
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.settings import Settings
from grouper.model.unit import Lesson, RoundKey, Unit


@dataclass(frozen=True)
class ClassRecord:
    """A class, its unit, what was asked for, who was absent, the plan, which lessons have been taught, and play.

    ``games`` and ``circuits`` stand in the order of lesson and activity, at most one of each an activity.
    """

    roster: Roster
    unit: Unit = field(default_factory=lambda: Unit(()))
    requests: tuple[Request, ...] = ()
    absences: tuple[Absence, ...] = ()
    plan: Plan = field(default_factory=Plan)
    taught: frozenset[int] = frozenset()
    seed: int = 0
    settings: Settings = field(default_factory=Settings)
    games: tuple[GamesDay, ...] = ()
    circuits: tuple[CircuitDay, ...] = ()
    points: Points = field(default_factory=Points)

    def lesson(self, number: int) -> Lesson:
        """The lesson with this number (InputError where there is none)."""
        return self.unit.lesson(number)

    def absence(self, student: str, lesson: int) -> Absence | None:
        """The record of a student's absence in a lesson, or None."""
        return next((a for a in self.absences if a.student == student and a.lesson == lesson), None)

    def state(self, student: Student, key: RoundKey) -> str:
        """What a student does in a round: ``""`` takes part, ``aside``, ``away``, or ``gone`` (not in the class)."""
        if not student.belongs_in(key.lesson):
            return "gone"
        absence = self.absence(student.id, key.lesson)
        if absence and self.place_in_lesson(key) >= absence.since:
            return absence.state
        return student.availability

    def place_in_lesson(self, key: RoundKey) -> int:
        """The place of a round among all rounds of its lesson, counted from 1."""
        return self.lesson(key.lesson).keys.index(key) + 1

    def taking_part(self, key: RoundKey) -> tuple[str, ...]:
        """Ids of the students who take part in a round, in roster order."""
        return tuple(student.id for student in self.roster.students if self.state(student, key) == "")
