"""Texts that a teacher typed, and what becomes of them where they name a student who is to be forgotten."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

from grouper.files.name_words import find, given_word, replaced, words_of
from grouper.model.roster import Roster, Student

TEXTS_OF_THE_TEACHER = ("unit", "plan", "absences", "events", "results", "chosen_steps", "ladders", "past")
"""Parts of a record in which the teacher may have typed a name: labels, roles, names of activities and stations."""

LONG_ENOUGH = 3
"""A shorter id looks like any number, and is only searched for where ids stand."""


def speaks_of(text: str, person: Student) -> bool:
    """Whether any word of the person's name begins a word of the text, or their id is one."""
    return any(True for _ in find(text, words_of(person.name))) or _id_in(person).search(text) is not None


def _id_in(person: Student) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(person.id)}(?!\w)" if len(person.id) >= LONG_ENOUGH else "(?!)")


class Renaming:
    """What becomes of a text in which the person may be named: the whole name, the given name where nobody else has
    it, and the id give way. Ids of others stay as they are (``ids`` are more of them), and different texts
    stay different."""

    def __init__(self, roster: Roster, person: Student, neutral: str, ids: frozenset[str] = frozenset()) -> None:
        self.ids = {student.id for student in roster.students} - {person.id} | ids
        self.neutral = neutral
        self.whole = words_of(person.name)[:1]
        self.given = [given_word(person.name)] if _is_theirs_alone(roster, person, neutral) else []
        self.id = _id_in(person)
        self.became: dict[str, str] = {}

    def __call__(self, text: str) -> str:
        if text in self.ids:
            return text
        if text not in self.became:
            self.became[text] = self._different(text, self._renamed(text))
        return self.became[text]

    def _renamed(self, text: str) -> str:
        without_whole = replaced(text, find(text, self.whole), self.neutral)
        without_given = replaced(without_whole, find(without_whole, self.given, whole=True), self.neutral)
        return self.id.sub(self.neutral, without_given)

    def _different(self, before: str, after: str) -> str:
        if after == before:
            return before
        names = (after, *(f"{after} ({number})" for number in range(2, len(self.became) + 3)))
        taken = set(self.became.values())
        return next(name for name in names if name not in taken)


def _is_theirs_alone(roster: Roster, person: Student, neutral: str) -> bool:
    """Whether no word of another student's name is the given name, so that a text with it can mean nobody else."""
    given = given_word(person.name)
    others = (student for student in roster.students if student.id not in (person.id, neutral))
    return bool(given) and all(given not in words_of(student.name) for student in others)


def texts_in(value: Any) -> Iterator[str]:
    """Every text in a value, however deep in tuples and dataclasses."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from texts_in(item)
    elif is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            yield from texts_in(getattr(value, each.name))


def each_text(value: Any, change: Callable[[str], str]) -> Any:
    """A value with every text in it changed, however deep in tuples and dataclasses; the same value where none is."""
    if isinstance(value, str):
        return change(value)
    if type(value) is tuple:
        items = tuple(each_text(item, change) for item in value)
        return value if all(new is old for new, old in zip(items, value, strict=True)) else items
    if is_dataclass(value) and not isinstance(value, type):
        parts = {each.name: getattr(value, each.name) for each in fields(value)}
        changed = {name: new for name, old in parts.items() if (new := each_text(old, change)) is not old}
        return replace(value, **changed) if changed else value
    return value
