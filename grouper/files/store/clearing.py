"""A class file at the end of a unit: who worked with whom stays for the next, and nothing else that was personal."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from itertools import count

from grouper.files.store.typed_texts import TEXTS_OF_THE_TEACHER, Renaming, each_text
from grouper.model.ledger import COACH, LEARNER
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Unit

ROLES = (COACH, LEARNER)
"""Roles whose turns count in the next unit; any other could be a word on why somebody took no part."""


@dataclass(frozen=True)
class Clearing:
    """What is to go beside what always does: ratings with size bands and availability, and all names."""

    ratings: bool = False
    names: bool = False


def cleared(record: ClassRecord, clearing: Clearing) -> ClassRecord:
    """The record without requests, notes, results, chosen steps, learnt ratings, absences, games and stations.

    The groups of lessons that were taught stay as they ran; what had been planned instead goes with the absences, as
    the two together tell who was away. Lessons that were never taught go with their groups. Without names, which takes
    the ratings too, students are called 'student N' in an order drawn by lot, and texts in which a name stands lose it.
    """
    kept = ClassRecord(
        roster=_roster(record.roster, bare=clearing.ratings or clearing.names),
        unit=Unit(tuple(lesson for lesson in record.unit.lessons if lesson.number in record.taught)),
        plan=Plan(tuple(_as_it_ran(r) for r in record.plan.rounds if r.key.lesson in record.taught)),
        taught=record.taught,
        seed=record.seed,
        settings=record.settings,
        points=record.points,
        ladders=record.ladders,
        past=tuple(replace(past, groups=tuple(_plain(group) for group in past.groups)) for past in record.past),
    )
    return _without_names(kept, _drawn_names(record)) if clearing.names else kept


def _roster(roster: Roster, bare: bool) -> Roster:
    if not bare:
        return roster
    return Roster(tuple(replace(s, ratings={}, size_band="", availability="") for s in roster.students))


def _as_it_ran(round_: Round) -> Round:
    groups = tuple(_plain(group) for group in round_.groups)
    return replace(round_, groups=groups, planned=groups)


def _plain(group: Group) -> Group:
    roles = tuple(role if role in ROLES else "" for role in group.roles)
    return replace(group, roles=roles if any(roles) else ())


def _drawn_names(record: ClassRecord) -> dict[str, str]:
    """A neutral name for each id.

    The order is drawn from all that the record holds, ratings and groups included: the same record gives the same
    names, and whoever has the list of the class alone cannot draw them again.
    """
    drawn_from = repr((record.roster.students, record.plan.rounds, record.requests, record.absences, record.seed))
    ids = sorted(record.roster.by_id)
    random.Random(sha256(drawn_from.encode()).hexdigest()).shuffle(ids)
    taken = {text for student in record.roster.students for text in (student.id, student.name)}
    neutral = (name for name in (f"student {number}" for number in count(1)) if name not in taken)
    return dict(zip(ids, neutral, strict=False))


def _without_names(record: ClassRecord, names: Mapping[str, str]) -> ClassRecord:
    places = list(names)
    students = sorted(record.roster.students, key=lambda student: places.index(student.id))
    renamed = replace(
        record,
        roster=Roster(tuple(_neutral(student, names) for student in students)),
        plan=Plan(tuple(_round(round_, names) for round_ in record.plan.rounds)),
        past=tuple(replace(past, groups=_groups(past.groups, names)) for past in record.past),
    )
    for student in students:
        change = Renaming(record.roster, student, names[student.id], frozenset(names.values()))
        texts = {field: getattr(renamed, field) for field in TEXTS_OF_THE_TEACHER}
        renamed = replace(renamed, **{field: each_text(value, change) for field, value in texts.items()})
    return renamed


def _neutral(student: Student, names: Mapping[str, str]) -> Student:
    neutral = names[student.id]
    return Student(neutral, neutral, first_lesson=student.first_lesson, last_lesson=student.last_lesson)


def _round(round_: Round, names: Mapping[str, str]) -> Round:
    return replace(round_, groups=_groups(round_.groups, names), planned=_groups(round_.planned, names))


def _groups(groups: tuple[Group, ...], names: Mapping[str, str]) -> tuple[Group, ...]:
    return tuple(replace(group, members=tuple(names[member] for member in group.members)) for group in groups)
