"""A student who is to be forgotten: what was done with others stays, under a name that tells nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count

from grouper.errors import InputError
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student

Rename = Callable[[str], str]


def without_person(record: ClassRecord, student: str) -> ClassRecord:
    """The record with a student's id and name replaced by a neutral 'student N'.

    Ratings, size band, availability, requests and roles in absences go. The lessons that the student belonged to,
    missed, and the groups they were in stay, so that the counts of all others do.

    Raises
    ------
    InputError
        There is no such student, or the student is still in the class: who takes part in the lessons to come would then
        hang on facts that go.
    """
    person = record.roster.by_id.get(student)
    if person is None:
        raise InputError(f"no student with the id '{student}' in this class")
    if not person.archived:
        raise InputError(f"{person.name} is still in the class; take them out of the class first")
    neutral = _neutral_name(record.roster)
    return _renamed(record, student, neutral)


def _neutral_name(roster: Roster) -> str:
    taken = {text for student in roster.students for text in (student.id, student.name)}
    return next(name for name in (f"student {number}" for number in count(1)) if name not in taken)


def _renamed(record: ClassRecord, student: str, neutral: str) -> ClassRecord:
    def rename(name: str) -> str:
        return neutral if name == student else name

    return replace(
        record,
        roster=replace(
            record.roster, students=tuple(_person(s, neutral) if s.id == student else s for s in record.roster.students)
        ),
        requests=tuple(request for request in record.requests if student not in request.pair),
        absences=tuple(
            replace(absence, student=neutral, role="") if absence.student == student else absence
            for absence in record.absences
        ),
        plan=Plan(tuple(_round(round_, rename) for round_ in record.plan.rounds)),
    )


def _person(person: Student, neutral: str) -> Student:
    return Student(neutral, neutral, first_lesson=person.first_lesson, last_lesson=person.last_lesson)


def _round(round_: Round, rename: Rename) -> Round:
    return replace(
        round_,
        groups=tuple(_group(group, rename) for group in round_.groups),
        planned=tuple(_group(group, rename) for group in round_.planned),
    )


def _group(group: Group, rename: Rename) -> Group:
    return replace(group, members=tuple(rename(member) for member in group.members))
