"""A class goes on: to its next unit, in which what ran fades, or to its next teacher, who learns who met whom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import count

from grouper.errors import InputError
from grouper.model.ledger import COACH, LEARNER, PastRound
from grouper.model.plan import Group, Plan
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
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
    roster, ratings, requests for all lessons, ladders and settings stay; absences, notes, results, games and stations,
    and requests for certain lessons, end with the old unit. Who has left stays on the roster, for the past to name.

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
        chosen_steps=(),
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


ROLES = (COACH, LEARNER)
"""Roles whose turns count in later units; what else was typed as a role stays behind."""


def handed_over(record: ClassRecord, ratings: bool = False, requests: bool = False) -> ClassRecord:
    """The class without a unit, and the rounds that were taught, here and in earlier units, as its past.

    Ratings come along only if asked for, requests too and then only those for all lessons of two who are in the class.
    Size bands, availability, absences, notes, results, scores and tasks never do. Who has left the class stands in the
    groups of the past under a name that tells nothing, so that the sizes of groups stay.
    """
    past = (*record.past, *ran_rounds(record))
    leavers = _leavers(record, past)
    here = record.roster.active
    asked = tuple(r for r in record.requests if lasts(r) and _both_here(r, here)) if requests else ()
    return ClassRecord(
        Roster(
            (*(_known(s, ratings) for s in here), *(Student(n, n, last_lesson=0) for n in leavers.values())),
            record.roster.strands if ratings else (),
        ),
        requests=asked,
        settings=record.settings,
        past=tuple(replace(past_round, groups=_groups(past_round, leavers)) for past_round in past),
    )


def _leavers(record: ClassRecord, past: tuple[PastRound, ...]) -> dict[str, str]:
    """Neutral names of those in past groups who have left the class, by id."""
    seen = {student for past_round in past for student in past_round.as_round.students}
    gone = [student for student in record.roster.students if student.archived and student.id in seen]
    taken = {text for student in record.roster.students for text in (student.id, student.name)}
    neutral = (name for name in (f"left {number}" for number in count(1)) if name not in taken)
    return {student.id: next(neutral) for student in gone}


def _known(student: Student, ratings: bool) -> Student:
    return Student(student.id, student.name, student.ratings if ratings else {})


def _both_here(request: Request, here: tuple[Student, ...]) -> bool:
    return {student.id for student in here}.issuperset(request.pair)


def _groups(past_round: PastRound, leavers: Mapping[str, str]) -> tuple[Group, ...]:
    """The groups with numbers for labels, as a label is what a teacher typed."""
    return tuple(
        Group(str(place), tuple(leavers.get(member, member) for member in group.members), _roles(group))
        for place, group in enumerate(past_round.groups, start=1)
    )


def _roles(group: Group) -> tuple[str, ...]:
    kept = tuple(role if role in ROLES else "" for role in group.roles)
    return kept if any(kept) else ()
