"""Other ids for the same people, wherever a record names them."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import fields, is_dataclass, replace
from itertools import count
from typing import Any

from grouper.model.chosen_step import ChosenStep
from grouper.model.noted import Absence, Learnt
from grouper.model.plan import Group
from grouper.model.play import Assignment
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student

IDS: dict[type, tuple[str, ...]] = {
    Student: ("id",),
    Request: ("student", "other"),
    Absence: ("student",),
    Group: ("members",),
    ChosenStep: ("members",),
    Learnt: ("student",),
    Assignment: ("lineup",),
}
"""Where ids of students stand, wherever in a record these are."""


def with_ids(record: ClassRecord, ids: Mapping[str, str]) -> ClassRecord:
    """The record in which students go by other ids (old to new, all at once); everything that is theirs follows them.

    Raises
    ------
    InputError
        Two students would have one id.
    """
    if all(old == new for old, new in ids.items()):
        return record
    called: ClassRecord = _called(record, ids)
    in_order = sorted(called.absences, key=lambda absence: (absence.lesson, absence.student, absence.since))
    return replace(called, absences=tuple(in_order))


def _called(value: Any, ids: Mapping[str, str]) -> Any:
    """A value with other ids in it, however deep in tuples and dataclasses; the same value where there are none."""
    if type(value) is tuple:
        items = tuple(_called(item, ids) for item in value)
        return value if all(new is old for new, old in zip(items, value, strict=True)) else items
    if not is_dataclass(value) or isinstance(value, type):
        return value
    own = IDS.get(type(value), ())
    parts = {each.name: getattr(value, each.name) for each in fields(value)}
    now = {name: _renumbered(old, ids) if name in own else _called(old, ids) for name, old in parts.items()}
    changed = {name: new for name, new in now.items() if new is not parts[name]}
    return replace(value, **changed) if changed else value


def _renumbered(value: Any, ids: Mapping[str, str]) -> Any:
    return ids.get(value, value) if isinstance(value, str) else tuple(_renumbered(item, ids) for item in value)


def as_called_in(record: ClassRecord, roster: Roster) -> ClassRecord:
    """The record with the ids that the same students have in another roster of the class, from before or after.

    Students keep their places in a roster whatever becomes of them, and who is new stands at the end.
    """
    pairs = list(zip(record.roster.students, roster.students, strict=False))
    ids = {one.id: other.id for one, other in pairs}
    taken = set(ids.values())
    for student in record.roster.students[len(pairs) :]:
        ids[student.id] = free_id(student.id, taken)
        taken.add(ids[student.id])
    return with_ids(record, ids)


def free_id(wanted: str, taken: Container[str]) -> str:
    """The id that is wanted, or one that says whose it was where another student has it."""
    if wanted not in taken:
        return wanted
    names = (f"was {wanted}" + (f" ({number})" if number > 1 else "") for number in count(1))
    return next(name for name in names if name not in taken)
