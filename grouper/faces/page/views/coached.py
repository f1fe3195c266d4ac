"""Who coached in a lesson, group by group, for the teacher to put right."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of
from grouper.model.ledger import COACH
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class Member:
    """A student of a group by id and short name, and whether they were the coach."""

    id: str
    name: str
    coach: bool


@dataclass(frozen=True)
class CoachedGroup:
    """A group by label, its members by the alphabet."""

    label: str
    members: tuple[Member, ...]


@dataclass(frozen=True)
class CoachedRound:
    """A round in which students coach one another."""

    place: int
    activity: str
    groups: tuple[CoachedGroup, ...]


def coached_view(record: ClassRecord, lesson: int) -> tuple[CoachedRound, ...]:
    """The rounds of a lesson with coaches, or meant to have some (InputError where the lesson has no groups)."""
    names = lesson_names(record, lesson)
    return tuple(_round(record, names, round_) for round_ in rounds_of(record, lesson) if _is_coaching(record, round_))


def _is_coaching(record: ClassRecord, round_: Round) -> bool:
    coaches = any(COACH in group.roles for group in round_.groups)
    return coaches or record.unit.activity(round_.key).aim == "coaching"


def _round(record: ClassRecord, names: dict[str, str], round_: Round) -> CoachedRound:
    groups = sorted((g for g in round_.groups if len(g.members) > 1), key=lambda group: label_order(group.label))
    shown = tuple(CoachedGroup(group.label, _members(names, group)) for group in groups)
    return CoachedRound(record.place_in_lesson(round_.key), record.unit.activity(round_.key).name, shown)


def _members(names: dict[str, str], group: Group) -> tuple[Member, ...]:
    members = (Member(student, names[student], group.role(student) == COACH) for student in group.members)
    return tuple(sorted(members, key=lambda member: (name_order(member.name), member.id)))
