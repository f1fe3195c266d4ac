"""A class goes on to its next unit, in which what ran fades."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.model.ledger import PastRound
from grouper.model.plan import Plan
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Student
from grouper.model.unit import Unit
from grouper.rules.trio_turns import works_in_pairs
from grouper.words import Remedy


@dataclass(frozen=True)
class NextUnit:
    """A record at the start of a unit, and how many rounds became the past."""

    record: ClassRecord
    rounds: int


def next_unit(record: ClassRecord, unit: Unit) -> NextUnit:
    """The class with a new unit, knowing who worked with whom in all units before.

    Rounds of lessons that were taught become the past, as they ran; those that were never taught are forgotten. The
    roster, ratings, requests for all lessons, levers, adaptations and settings stay; absences, notes, results, games
    and stations, and requests for certain lessons, end with the old unit. Who has left stays on the roster, for the
    past to name.

    Raises
    ------
    InputError
        No lesson has been taught, so that there is no unit to end.
    """
    if not record.taught:
        raise InputError("no lesson of this unit has been taught", Remedy.CHANGE_LESSONS)
    ran = tuple(ran_rounds(record))
    begun = replace(
        record,
        roster=replace(record.roster, students=tuple(_at_the_start(s) for s in record.roster.students)),
        unit=unit,
        requests=tuple(request for request in record.requests if lasts(request)),
        absences=(),
        plan=Plan(),
        taught=frozenset(),
        events=(),
        notes=(),
        results=(),
        chosen_tasks=(),
        learnt=(),
        past=(*record.past, *ran),
        unheld=(),
        begun={},
    )
    return NextUnit(begun, len(ran))


def lasts(request: Request) -> bool:
    """Whether a request is for all lessons, so that it goes on in the next unit."""
    return request.first_lesson is None and request.last_lesson is None


def _at_the_start(student: Student) -> Student:
    """Who is in the class belongs to all lessons of the new unit, who has left to none."""
    return replace(student, first_lesson=1, last_lesson=0 if student.archived else None)


def ran_rounds(record: ClassRecord) -> Iterator[PastRound]:
    """The rounds of the lessons taught, as they ran, in the order of play, numbered as the unit after all past."""
    number = max((round_.unit for round_ in record.past), default=0) + 1
    problem = problem_of(record)
    for round_ in record.plan.rounds:
        if round_.key.lesson in record.taught:
            lesson, activity = record.lesson(round_.key.lesson), record.unit.activity(round_.key)
            in_pairs = works_in_pairs(problem, round_)
            yield PastRound(number, round_.key, lesson.date, activity.name, in_pairs, round_.groups)
