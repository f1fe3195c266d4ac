"""A student who is to be forgotten: what was done with others stays, under a name that tells nothing."""

from __future__ import annotations

import re
from dataclasses import dataclass, fields, replace
from itertools import count
from typing import Any

from grouper.errors import require
from grouper.model.held import throughout, whole
from grouper.model.noted import Absence, Note
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.tags import TAGS, TYPED, Tag, changed, texts_in, with_ids
from grouper.privacy.names import Renaming, speaks_of

_WORD = "student"
_NEUTRAL = re.compile(rf"{_WORD} \d+")


def without_person(record: ClassRecord, student: str) -> ClassRecord:
    """The record with a student's id and name replaced by a neutral 'student N'.

    Ratings, size band, availability, requests, roles in absences and notes in which a part of the name stands go; in
    all other texts, such as the label of a group, the whole name, the id, and a given name that nobody else has are
    replaced. The lessons that the student belonged to, missed, and the groups they were in stay, so that the counts of
    all others do.

    Raises
    ------
    InputError
        There is no such student, or the student is still in the class: who takes part in the lessons to come would then
        hang on facts that go.
    """
    person = _known(record.roster, student)
    require(person.archived, "{name} is still in the class", "take them out of the class first", name=person.name)
    neutral = _neutral_name(record.roster)
    return throughout(record, lambda all_of_it: _without_name(_renamed(all_of_it, student, neutral), person, neutral))


def to_erase(roster: Roster, student: str) -> Student:
    """The student with an id (InputError where there is none, or where they have been erased already)."""
    person, what = _known(roster, student), "'{name}' is somebody who has been erased already"
    require(not is_erased(person), what, "nothing is left to erase", name=person.name)
    return person


def _known(roster: Roster, student: str) -> Student:
    require(student in roster.by_id, "no student with the id '{student}' in this class", student=student)
    return roster.by_id[student]


def is_erased(person: Student) -> bool:
    """Whether a student is one of those who were erased: a neutral name, lessons, and nothing else."""
    return _NEUTRAL.fullmatch(person.id) is not None and person == _person(person, person.id) and person.archived


def _neutral_name(roster: Roster) -> str:
    taken = {text for student in roster.students for text in (student.id, student.name)}
    return next(name for name in (f"{_WORD} {number}" for number in count(1)) if name not in taken)


def _renamed(record: ClassRecord, student: str, neutral: str) -> ClassRecord:
    """The record with another id and name for the student, and without all that was held on them alone."""
    renamed = with_ids(record, {student: neutral})
    parts = {each.name: getattr(renamed, each.name) for each in fields(renamed)}
    left: dict[str, Any] = {
        name: tuple(one for one in items if isinstance(one, Absence) or not _is_on(one, neutral))
        for name, items in parts.items()
        if isinstance(items, tuple)
    }
    students = tuple(_person(s, neutral) if s.id == neutral else s for s in renamed.roster.students)
    # That somebody took no part stays, as the counts of others hang on it; as what they helped does not.
    absences = tuple(replace(a, role="") if a.student == neutral else a for a in renamed.absences)
    return replace(renamed, **left | {"roster": replace(renamed.roster, students=students), "absences": absences})


def _is_on(one: Any, student: str) -> bool:
    """Whether it is something held on this student, not only on a group that they were in."""
    tags = TAGS.get(type(one), {})
    return any(tag is Tag.PERSON and getattr(one, name) == student for name, tag in tags.items())


def _without_name(record: ClassRecord, person: Student, neutral: str) -> ClassRecord:
    """The record without notes that may speak of the person, and without the name in anything else that was typed."""
    kept = replace(record, notes=tuple(note for note in record.notes if not speaks_of(note.text, person)))
    kept = changed(kept, dict.fromkeys(TYPED, Renaming(record.roster, person, neutral)))
    # What stands in the order of a text stands in another order where the text is another one now.
    return replace(
        kept,
        events=tuple(sorted(kept.events, key=lambda event: event.key)),
        results=tuple(sorted(kept.results, key=lambda result: result.spot)),
        chosen_tasks=tuple(sorted(kept.chosen_tasks, key=lambda chosen: chosen.spot)),
    )


@dataclass(frozen=True)
class Erasure:
    """What erasing a student does to what a teacher typed.

    Parameters
    ----------
    neutral
        What the name and the id become.
    notes
        Notes that go.
    replaced
        Other texts in which the name is replaced.
    kept
        Texts that hold a part of the name, such as a family name that is a word too, and stay as they are.
    """

    neutral: str
    notes: tuple[Note, ...]
    replaced: tuple[str, ...]
    kept: tuple[str, ...]


def erasure_of(record: ClassRecord, student: str) -> Erasure:
    """What ``without_person`` will do, for somebody to see first; the student may still be in the class.

    Raises
    ------
    InputError
        There is no such student, or they have been erased already.
    """
    record = whole(record)
    person = to_erase(record.roster, student)
    neutral = _neutral_name(record.roster)
    change = Renaming(record.roster, person, neutral)
    # Notes that speak of the student go whole, and so does what was typed of why they were away.
    others = replace(record, notes=(), absences=tuple(a for a in record.absences if a.student != student))
    typed = dict.fromkeys(texts_in(others, TYPED))
    named = [text for text in typed if text != student and speaks_of(text, person)]
    return Erasure(
        neutral,
        tuple(note for note in record.notes if speaks_of(note.text, person)),
        tuple(text for text in named if change(text) != text),
        tuple(text for text in named if change(text) == text),
    )


def _person(person: Student, neutral: str) -> Student:
    return Student(neutral, neutral, first_lesson=person.first_lesson, last_lesson=person.last_lesson)
