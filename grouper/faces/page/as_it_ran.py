"""The groups as they really ran, from what the teacher put right in a table of labels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from grouper.errors import InputError
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import taught
from grouper.planning.ran import ran_as

Labels = Mapping[tuple[int, str], str]
"""The label of a student's group by the place of the round in the lesson, from 1, and the student's id."""


def as_it_ran(
    record: ClassRecord, lesson: int, labels: Labels, up_to: int | None = None
) -> tuple[ClassRecord, str]:
    """The lesson closed as it really ran, up to a round; or, where it is closed already, put right.

    Raises
    ------
    InputError
        It is closed, and nothing is other than it stands.
    """
    groups = groups_as_they_ran(record, lesson, labels)
    if lesson not in record.taught:
        return taught(record, lesson, groups, up_to), f"lesson {lesson} taught, with changes"
    if not groups:
        raise InputError("nothing was changed; choose the group of somebody first")
    return ran_as(record, groups), f"lesson {lesson} corrected"


def groups_as_they_ran(record: ClassRecord, lesson: int, labels: Labels) -> dict[RoundKey, tuple[Group, ...]]:
    """The rounds in which somebody was elsewhere than it stands, with their groups; roles stay where people did."""
    changed: dict[RoundKey, tuple[Group, ...]] = {}
    for round_ in record.plan.of_lesson(lesson):
        place = record.place_in_lesson(round_.key)
        ran = {student: label for (at, student), label in labels.items() if at == place}
        groups = _groups(round_, ran)
        if {g.label: set(g.members) for g in groups} != {g.label: set(g.members) for g in round_.groups}:
            changed[round_.key] = groups
    return changed


def _groups(round_: Round, ran: Mapping[str, str]) -> tuple[Group, ...]:
    stood = {student: group.label for group in round_.groups for student in group.members}
    now = {**stood, **ran}
    known = {group.label: group for group in round_.groups}
    groups = []
    for label in dict.fromkeys([*known, *now.values()]):
        members = tuple(student for student, own in now.items() if own == label)
        if label and members:
            groups.append(_group(known.get(label), label, members))
    return tuple(groups)


def _group(stood: Group | None, label: str, members: tuple[str, ...]) -> Group:
    if stood is not None and set(stood.members) == set(members):
        return stood
    if stood is None or not stood.roles:
        return Group(label, members)
    roles = tuple(stood.role(student) if student in stood.members else "" for student in members)
    return replace(stood, members=members, roles=roles)
