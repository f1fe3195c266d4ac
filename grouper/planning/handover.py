"""A class for its next teacher: names, and who has worked with whom; what the last teacher thought stays behind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import count

from grouper.model.ledger import COACH, LEARNER
from grouper.model.past import PastRound
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.planning.next_unit import lasts, ran_rounds

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
