"""A record with less in it: cleared at the end of a unit, handed over to the next teacher, or without names, to share.

Each of the three is made of what may stay, so that whatever is new in a record stays behind until it is named here.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from itertools import count

from grouper.model.ledger import COACH, LEARNER, SMALLER, PastRound
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.sides import FLOATER
from grouper.model.tags import TYPED, Tag, changed, with_ids
from grouper.model.unit import Lesson, Unit
from grouper.planning.ran import lasts, ran_rounds
from grouper.privacy.names import Renaming

ROLES = (COACH, LEARNER, FLOATER, SMALLER)
"""Roles that have their place in a group; any other could be a word on why somebody took no part."""


# ---- at the end of a unit


@dataclass(frozen=True)
class Clearing:
    """What is to go beside what always does: ratings with size bands and availability, and all names."""

    ratings: bool = False
    names: bool = False


def cleared(record: ClassRecord, clearing: Clearing) -> ClassRecord:
    """The record without requests, adaptations, notes, results, chosen tasks, learnt ratings, absences and events.

    The groups of lessons that were taught stay as they ran; what had been planned instead goes with the absences, as
    the two together tell who was away. Lessons that were never taught go with their groups. Without names, which takes
    the ratings too, students are called 'student N' in an order drawn by lot, and texts in which a name stands lose it.
    """
    roster = record.roster
    if clearing.ratings or clearing.names:
        roster = Roster(tuple(replace(s, ratings={}, size_band="", availability="") for s in roster.students))
    kept = ClassRecord(
        roster=roster,
        unit=Unit(tuple(lesson for lesson in record.unit.lessons if lesson.number in record.taught)),
        plan=Plan(tuple(_as_it_ran(r) for r in record.plan.rounds if r.key.lesson in record.taught)),
        taught=record.taught,
        seed=record.seed,
        settings=record.settings,
        points=record.points,
        challenges=record.challenges,
        cupboard=record.cupboard,
        past=tuple(replace(past, groups=tuple(_plain(group) for group in past.groups)) for past in record.past),
    )
    if not clearing.names:
        return kept
    drawn_from = (record.roster.students, record.plan.rounds, record.requests, record.absences, record.seed)
    names = dict(zip(_drawn(record.roster, drawn_from), _free(record.roster, "student"), strict=False))
    renamed = with_ids(kept, names)
    by_name = {student.id: student for student in renamed.roster.students}
    students = (by_name[name] for name in names.values())
    bare = (Student(s.id, s.id, first_lesson=s.first_lesson, last_lesson=s.last_lesson) for s in students)
    renamed = replace(renamed, roster=Roster(tuple(bare)))
    for student in sorted(kept.roster.students, key=lambda student: list(names).index(student.id)):
        change = Renaming(kept.roster, student, names[student.id], frozenset(names.values()))
        renamed = changed(renamed, dict.fromkeys(TYPED, change))
    return renamed


def _as_it_ran(round_: Round) -> Round:
    groups = tuple(_plain(group) for group in round_.groups)
    return replace(round_, groups=groups, planned=groups)


# ---- for the next teacher


def handed_over(record: ClassRecord, ratings: bool = False, requests: bool = False) -> ClassRecord:
    """The class without a unit, and the rounds that were taught, here and in earlier units, as its past.

    Ratings come along only if asked for, requests too and then only those for all lessons of two who are in the class,
    with what is always kept for a child.
    Size bands, availability, absences, notes, results, scores and tasks never do. Who has left the class stands in the
    groups of the past under a name that tells nothing, so that the sizes of groups stay.
    """
    past = (*record.past, *ran_rounds(record))
    seen = {student for past_round in past for student in past_round.as_round.students}
    gone = (student.id for student in record.roster.students if student.archived and student.id in seen)
    leavers = dict(zip(gone, _free(record.roster, "left"), strict=False))
    here = [Student(s.id, s.name, s.ratings if ratings else {}) for s in record.roster.active]
    kept = {student.id for student in here} if requests else set()
    return ClassRecord(
        Roster(
            (*here, *(Student(name, name, last_lesson=0) for name in leavers.values())),
            record.roster.strands if ratings else (),
        ),
        requests=tuple(request for request in record.requests if lasts(request) and kept.issuperset(request.pair)),
        adaptations=tuple(one for one in record.adaptations if one.student in kept),
        settings=record.settings,
        past=tuple(replace(past_round, groups=_groups(past_round, leavers)) for past_round in past),
    )


def _groups(past_round: PastRound, leavers: Mapping[str, str]) -> tuple[Group, ...]:
    """The groups with numbers for labels, as a label is what a teacher typed."""
    return tuple(
        replace(_plain(group), label=str(place), members=tuple(leavers.get(member, member) for member in group.members))
        for place, group in enumerate(past_round.groups, start=1)
    )


# ---- to share


def nameless(record: ClassRecord) -> ClassRecord:
    """The record under neutral names: rounds, attendance and aims stay, everything else that is personal goes.

    The order of the names is drawn from all that the file holds of the groups: whoever has the list of the class alone
    cannot draw it again, and after the next lesson it is another one, so that two reports cannot be laid side by side.
    Ratings stay inside it, as the spreads of even teams are computed from them; no part of the report shows one.
    """
    labels = _Neutral()
    kept = ClassRecord(
        roster=record.roster,
        unit=record.unit,
        requests=record.requests,
        absences=record.absences,
        plan=record.plan,
        taught=record.taught,
        seed=record.seed,
        settings=record.settings,
        points=record.points,
        begun=record.begun,
    )
    plain = changed(with_ids(kept, nameless_roster(record)), {Tag.LABEL: labels, Tag.FREE_TEXT: labels})
    students = sorted((replace(s, name=s.id, size_band="") for s in plain.roster.students), key=lambda s: _place(s.id))
    lessons = []
    for lesson in plain.unit.lessons:
        named = (replace(a, name=f"activity {n}") for n, a in enumerate(lesson.activities, start=1))
        # Made anew, so that the date stays behind.
        lessons.append(Lesson(lesson.number, tuple(replace(a, minutes=None, caution="none") for a in named)))
    rounds = (replace(r, groups=_in_order(r.groups), planned=_in_order(r.planned)) for r in plain.plan.rounds)
    return replace(
        plain,
        roster=replace(plain.roster, students=tuple(students)),
        unit=Unit(tuple(lessons)),
        absences=tuple(sorted(replace(a, role="") for a in plain.absences)),
        plan=Plan(tuple(rounds)),
    )


def nameless_roster(record: ClassRecord) -> dict[str, str]:
    """Neutral names by id: A1, A2 ... in a drawn order, with a zero in front where there are more than nine."""
    held = (record.roster.students, record.plan.rounds, sorted(record.taught), record.absences, record.seed)
    ids = _drawn(record.roster, held)
    digits = len(str(len(ids)))
    return {student: f"A{place:0{digits}}" for place, student in enumerate(ids, start=1)}


class _Neutral:
    """What becomes of what was typed: a word and a number, the same text the same one; roles that count stay."""

    def __init__(self) -> None:
        self.became: dict[str, str] = {text: text for text in ("", *ROLES)}

    def __call__(self, text: str) -> str:
        return self.became.setdefault(text, f"text {len(self.became)}")


def _place(name: str) -> int:
    return int(name[1:])


def _in_order(groups: Iterable[Group]) -> tuple[Group, ...]:
    """Groups with members by neutral name, and labels by that order too."""
    ordered = []
    for group in groups:
        members = tuple(sorted(group.members, key=_place))
        ordered.append(Group(group.label, members, tuple(map(group.role, members)) if group.roles else ()))
    ordered.sort(key=lambda group: group.members)
    return tuple(replace(group, label=str(place)) for place, group in enumerate(ordered, start=1))


# ---- for all three


def _plain(group: Group) -> Group:
    """A group without the roles that do not count."""
    roles = tuple(role if role in ROLES else "" for role in group.roles)
    return replace(group, roles=roles if any(roles) else ())


def _drawn(roster: Roster, held: object) -> list[str]:
    """The ids in an order drawn from all that is held, ratings and groups included.

    The same record gives the same order, and whoever has the list of the class alone cannot draw it again.
    """
    # Of the order of the roster nothing is to be left in the one that is drawn.
    ids = sorted(roster.by_id)
    random.Random(sha256(repr(held).encode()).hexdigest()).shuffle(ids)
    return ids


def _free(roster: Roster, word: str) -> Iterator[str]:
    """Names such as 'student 1', without those that are somebody's."""
    taken = {text for student in roster.students for text in (student.id, student.name)}
    return (name for name in (f"{word} {number}" for number in count(1)) if name not in taken)
