"""How rounds really ran: put right at any time, before a lesson is closed or long after.

The ledger, fairness and later plans follow by themselves, as they are computed from the rounds of the record.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from grouper.errors import InputError
from grouper.model.attendance import Absence, merged
from grouper.model.ledger import COACH, LEARNER
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.following import following
from grouper.words import Remedy

Groups = Mapping[RoundKey, tuple[Group, ...]]


def ran_as(record: ClassRecord, groups: Groups) -> ClassRecord:
    """The record with rounds as they really ran; what was planned stays beside it.

    They are pinned, as they have been played. What was seen of a group follows it to another label, and scores are of
    those who really played.

    Raises
    ------
    InputError
        A round has no groups in the plan, or somebody stands in two groups at once.
    """
    unplanned = [key for key in groups if key not in record.plan.by_key]
    if unplanned:
        raise InputError("lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=unplanned[0].lesson)
    rounds = {key: _as_it_ran(record, record.plan.by_key[key], ran) for key, ran in groups.items()}
    return following(replace(record, plan=record.plan.with_rounds(rounds)), record.plan)


def _as_it_ran(record: ClassRecord, round_: Round, groups: tuple[Group, ...]) -> Round:
    students = [student for group in groups for student in group.members]
    twice = sorted({record.roster.name(student) for student in students if students.count(student) > 1})
    if twice:
        where = f"lesson {round_.key.lesson}, round {record.place_in_lesson(round_.key)}"
        raise InputError("{where}: {twice} in two groups at once", where=where, twice=", ".join(twice))
    return replace(round_, groups=groups, pinned=True, ran=True)


def moved(record: ClassRecord, key: RoundKey, student: str, label: str) -> ClassRecord:
    """A student was in the group with this label in a round, or in none (empty label); their role there is not known.

    Raises
    ------
    InputError
        The round has no groups in the plan, or no such group; the student was where they are said to have been.
    """
    round_ = record.plan.by_key.get(key)
    if round_ is None:
        raise InputError("lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=key.lesson)
    labels = [group.label for group in round_.groups]
    if label and label not in labels:
        where = f"lesson {key.lesson}, round {record.place_in_lesson(key)}"
        raise InputError(
            "{where} has no group '{label}'",
            "its groups are {labels}",
            where=where,
            label=label,
            labels=", ".join(labels),
        )
    stood = round_.group_of(student)
    if (stood.label if stood else "") == label:
        raise InputError("{name} stands {where} already", name=record.roster.name(student), where=_where(label))
    groups = (_with(_without(group, student), student, label) for group in round_.groups)
    ran = ran_as(record, {key: tuple(group for group in groups if group.members)})
    return _was_there(ran, key, student) if label else ran


def _was_there(record: ClassRecord, key: RoundKey, student: str) -> ClassRecord:
    """Attendance without an absence from this round; what it says of the rounds before and after stays."""
    place, last = record.place_in_lesson(key), len(record.lesson(key.lesson).keys)
    absences: list[Absence] = []
    for absence in record.absences:
        if (absence.lesson, absence.student) == (key.lesson, student) and absence.covers(place):
            absences.extend(_around(absence, place, place, last))
        else:
            absences.append(absence)
    return replace(record, absences=tuple(sorted(absences)))


def _around(absence: Absence, since: int, until: int, last: int) -> Iterator[Absence]:
    """What an absence says of the rounds before and after some, in a lesson whose last round is ``last``."""
    ends = last if absence.until is None else absence.until
    if absence.since < since:
        yield replace(absence, until=min(ends, since - 1))
    if until < ends:
        yield replace(absence, since=max(absence.since, until + 1))


def _where(label: str) -> str:
    return f"in group {label}" if label else "in no group"


def _without(group: Group, student: str) -> Group:
    if student not in group.members:
        return group
    place = group.members.index(student)
    members, roles = group.members, group.roles
    return replace(group, members=members[:place] + members[place + 1 :], roles=roles[:place] + roles[place + 1 :])


def _with(group: Group, student: str, label: str) -> Group:
    if group.label != label:
        return group
    roles = (*group.roles, "") if group.roles else ()
    return replace(group, members=(*group.members, student), roles=roles)


def had_role(record: ClassRecord, key: RoundKey, student: str, role: str) -> ClassRecord:
    """A student had a role in a round; where they were the coach, the others of their group were learners.

    Who was there without taking part has it for as long as that lasted.

    Raises
    ------
    InputError
        The round has no groups in the plan, or the student was in none of them.
    """
    place = record.place_in_lesson(key)
    for absence in record.absences_of(student, key.lesson):
        if absence.state == "aside" and absence.covers(place):
            others = [each for each in record.absences if each != absence]
            return replace(record, absences=tuple(sorted([*others, replace(absence, role=role)])))
    round_ = record.plan.by_key.get(key)
    group = round_.group_of(student) if round_ else None
    if round_ is None or group is None:
        where = f"lesson {key.lesson}, round {place}"
        raise InputError(
            "{where}: {name} is in no group, so that they had no role in one",
            where=where,
            name=record.roster.name(student),
        )
    roles = tuple(_role(group, member, student, role) for member in group.members)
    groups = tuple(replace(group, roles=roles) if each == group else each for each in round_.groups)
    return ran_as(record, {key: groups})


def _role(group: Group, member: str, student: str, role: str) -> str:
    if member == student:
        return role
    return LEARNER if role == COACH else group.role(member)


def was_away(
    record: ClassRecord, lesson: int, student: str, since: int = 1, until: int | None = None, aside: str = ""
) -> ClassRecord:
    """A student was in no group in rounds of a lesson, counted from 1: they leave those groups, and attendance says so.

    What it says of the other rounds stays, as they were in no group there either.
    With a word for ``aside`` they were there and had this role, such as scorer; else they were away.

    Raises
    ------
    InputError
        There is no such lesson or round, or the lesson has no groups.
    """
    keys = record.lesson(lesson).keys
    last = len(keys) if until is None else until
    if not 1 <= since <= last <= len(keys):
        raise InputError(
            "lesson {lesson} has rounds 1 to {count}, not {since} to {last}",
            lesson=lesson,
            count=len(keys),
            since=since,
            last=last,
        )
    for key in keys[since - 1 : last]:
        round_ = record.plan.by_key.get(key)
        if round_ is None:
            raise InputError("lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=lesson)
        if round_.group_of(student) is not None:
            record = moved(record, key, student, "")
    state = "aside" if aside else "away"
    absence = Absence(lesson, student, state, since, aside, None if last == len(keys) else last)
    others = [a for a in record.absences if (a.lesson, a.student) != (lesson, student)]
    own = [part for a in record.absences_of(student, lesson) for part in _around(a, since, last, len(keys))]
    return replace(record, absences=tuple(sorted([*others, *merged([*own, absence])])))
