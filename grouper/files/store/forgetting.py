"""A student who is to be forgotten: what was done with others stays, under a name that tells nothing."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from itertools import count
from typing import Any

from grouper.errors import InputError
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student

Rename = Callable[[str], str]


def without_person(record: ClassRecord, student: str) -> ClassRecord:
    """The record with a student's id and name replaced by a neutral 'student N'.

    Ratings, size band, availability, requests, roles in absences and notes in which a part of the name stands go; in
    all other texts, such as the label of a group, the whole name is replaced. The lessons that the student belonged to,
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
    return _without_name(_renamed(record, student, neutral), person.name, neutral)


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
        learnt=tuple(learnt for learnt in record.learnt if learnt.student != student),
        past=tuple(
            replace(past, groups=tuple(_group(group, rename) for group in past.groups)) for past in record.past
        ),
    )


def _without_name(record: ClassRecord, name: str, neutral: str) -> ClassRecord:
    """The record without notes that may speak of the person, and without the name in any other text."""
    words = [word for word in re.split(r"\W+", name) if len(word) > 1]
    speaks = re.compile("|".join(rf"\b{re.escape(word)}" for word in words) or "(?!)", re.IGNORECASE)
    whole = re.compile(re.escape(name), re.IGNORECASE)
    texts = {field: getattr(record, field) for field in TEXTS_OF_THE_TEACHER}
    return replace(
        record,
        notes=tuple(note for note in record.notes if not speaks.search(note.text)),
        **{field: _each_text(value, lambda text: whole.sub(neutral, text)) for field, value in texts.items()},
    )


TEXTS_OF_THE_TEACHER = ("unit", "plan", "absences", "games", "circuits", "results", "ladders", "past")
"""Parts of a record in which the teacher may have typed a name: labels, roles, names of activities and stations."""


def _each_text(value: Any, change: Rename) -> Any:
    """A value with every text in it changed, however deep in tuples and dataclasses; the same value where none is."""
    if isinstance(value, str):
        return change(value)
    if type(value) is tuple:
        items = tuple(_each_text(item, change) for item in value)
        return value if all(new is old for new, old in zip(items, value, strict=True)) else items
    if is_dataclass(value) and not isinstance(value, type):
        parts = {each.name: getattr(value, each.name) for each in fields(value)}
        changed = {name: new for name, old in parts.items() if (new := _each_text(old, change)) is not old}
        return replace(value, **changed) if changed else value
    return value


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
