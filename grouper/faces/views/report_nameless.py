"""A class without names, to share: letters and numbers for students in an order that tells nothing.

What could lead back to a child is taken out of the record before anything is shown, so that no part of the report can
let it through: names, ids, ratings, who left or came when, requests, notes, and what the teacher called groups and
activities. The order is drawn from all that the file holds of the groups: whoever has the list of the class alone
cannot draw it again, and after the next lesson it is another one, so that two reports cannot be laid side by side.
"""

from __future__ import annotations

import random
from dataclasses import replace
from hashlib import sha256

from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit

SMALL = 5
"""Counts of people below this are not told: the fewer they are, the easier it is to guess who they are. Statistical
offices and education departments use limits of 3 to 10 (from memory); common practice."""

FEWEST_ON_A_MAP = 10
"""With fewer students each place of a map nearly names its two."""


def nameless_roster(record: ClassRecord) -> dict[str, str]:
    """Neutral names by id: A1, A2 ... in a drawn order, with a zero in front where there are more than nine."""
    ids = sorted(student.id for student in record.roster.students)
    random.Random(_draw_from(record)).shuffle(ids)
    digits = len(str(len(ids)))
    return {student: f"A{place:0{digits}}" for place, student in enumerate(ids, start=1)}


def _draw_from(record: ClassRecord) -> str:
    held = (record.roster.students, record.plan.rounds, sorted(record.taught), record.absences, record.seed)
    return sha256(repr(held).encode()).hexdigest()


def nameless(record: ClassRecord) -> ClassRecord:
    """The record under neutral names: rounds, attendance and aims stay, everything else that is personal goes.

    Ratings stay inside it, as the spreads of even teams are computed from them; no part of the report shows one.
    """
    names = nameless_roster(record)
    students = sorted((_neutral(student, names) for student in record.roster.students), key=lambda s: int(s.id[1:]))
    return replace(
        record,
        roster=Roster(tuple(students), record.roster.strands),
        unit=Unit(tuple(_lesson(lesson) for lesson in record.unit.lessons)),
        requests=tuple(replace(r, student=names[r.student], other=names[r.other]) for r in record.requests),
        absences=tuple(sorted(replace(a, student=names[a.student], role="") for a in record.absences)),
        plan=Plan(tuple(_round(round_, names) for round_ in record.plan.rounds)),
        events=(),
        notes=(),
        results=(),
        chosen_steps=(),
        unheld=(),
        ladders=(),
        learnt=(),
        past=(),
    )


def _neutral(student: Student, names: dict[str, str]) -> Student:
    return replace(student, id=names[student.id], name=names[student.id], size_band="")


def _lesson(lesson: Lesson) -> Lesson:
    return Lesson(lesson.number, tuple(_plain(a, place) for place, a in enumerate(lesson.activities, start=1)))


def _plain(activity: Activity, place: int) -> Activity:
    return replace(activity, name=f"activity {place}", minutes=None, caution="none")


def _round(round_: Round, names: dict[str, str]) -> Round:
    return replace(round_, groups=_groups(round_.groups, names), planned=_groups(round_.planned, names))


def _groups(groups: tuple[Group, ...], names: dict[str, str]) -> tuple[Group, ...]:
    """Groups with members by neutral name, and labels by that order too."""
    renamed = sorted((_renamed(group, names) for group in groups), key=lambda group: group.members)
    return tuple(replace(group, label=str(place)) for place, group in enumerate(renamed, start=1))


def _renamed(group: Group, names: dict[str, str]) -> Group:
    own = {names[student]: group.role(student) for student in group.members}
    members = tuple(sorted(own, key=lambda name: int(name[1:])))
    return Group(group.label, members, tuple(own[name] for name in members) if group.roles else ())
