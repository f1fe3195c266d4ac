"""Other ids for the same people, wherever a record names them."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
from itertools import count

from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.tags import Tag, changed


def with_ids(record: ClassRecord, ids: Mapping[str, str]) -> ClassRecord:
    """The record in which students go by other ids (old to new, all at once); everything that is theirs follows them.

    Raises
    ------
    InputError
        Two students would have one id.
    """
    if all(old == new for old, new in ids.items()):
        return record
    called: ClassRecord = changed(record, {Tag.PERSON: lambda student: ids.get(student, student)})
    in_order = sorted(called.absences, key=lambda absence: (absence.lesson, absence.student, absence.since))
    return replace(called, absences=tuple(in_order))


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
