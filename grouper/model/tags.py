"""What each field of a record tells of people: one table, for whoever erases, hands on, counts or gives other ids.

Whoever changes a record for one of these ends goes through it by the tags (``changed``, ``texts_in``) and names none of
its fields, so that a field that is new is treated like all others of its tag. ``tests/model/test_tags.py`` fails for a
field without one.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from itertools import count
from typing import Any, TypeVar

from grouper.model.ledger import PastRound
from grouper.model.levers import Adaptation, Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import Absence, ChosenTask, Learnt, Note, TaskResult
from grouper.model.plan import Group, Round
from grouper.model.play import Asked, Assignment, Event, Points, Score, Setback, Timing
from grouper.model.record import ClassRecord, Unheld
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson


class Tag(Enum):
    """What a field tells of people."""

    PERSON = "who it is: the id of a student, or of several"
    NAME = "what a student is called"
    LABEL = "a few words that the teacher typed, and a name may stand among them"
    FREE_TEXT = "whatever the teacher typed"
    NUMBER = "something about people in a number, or in a word to choose from"
    PLAIN = "nothing about anybody: when, where, and how the tool is set"


Tags = dict[str, Tag]


def _tags(
    person: str = "", name: str = "", label: str = "", free_text: str = "", number: str = "", plain: str = ""
) -> Tags:
    given = (person, name, label, free_text, number, plain)
    return {field: tag for tag, names in zip(Tag, given, strict=True) for field in names.split()}


TAGS: dict[type, Tags] = {
    ClassRecord: _tags(plain="taught seed begun"),
    Roster: _tags(label="strands"),
    # The keys of ratings are strands, which are labels.
    Student: _tags(
        person="id", name="name", number="ratings size_band availability first_lesson last_lesson"
    ),
    Request: _tags(person="student other", number="kind first_lesson last_lesson"),
    Absence: _tags(person="student", label="role", number="state since until", plain="lesson"),
    Lesson: _tags(plain="number date"),
    Activity: _tags(label="name strand", plain="aim size groups rounds minutes min_gap max_gap caution sides edge"),
    Round: _tags(plain="key pinned ran"),
    Group: _tags(person="members", label="label roles"),
    Settings: _tags(label="scale", plain="prefer closeness half_life success"),
    Points: _tags(plain="win draw loss order on_wall"),
    Event: _tags(label="activity teams places called", plain="kind lesson round method played loans across"),
    Asked: _tags(plain="legs slots order duty"),
    Timing: _tags(plain="play changeover"),
    Setback: _tags(plain="closed out short slots_left"),
    Assignment: _tags(person="lineup", plain="slot place teams duty"),
    Score: _tags(number="home away home_bonus away_bonus home_penalty away_penalty home_lost away_lost"),
    Note: _tags(free_text="text", plain="lesson place"),
    TaskResult: _tags(label="label", number="felt hits tries at points lost", plain="key"),
    ChosenTask: _tags(person="members", label="label", number="at", plain="key"),
    Challenge: _tags(label="activity", free_text="own_rule", plain="scoring two_ways"),
    Lever: _tags(label="name", plain="kind"),
    Setting: _tags(label="name", free_text="words"),
    Needed: _tags(label="item", plain="count each"),
    Store: _tags(label="item", plain="count"),
    Adaptation: _tags(person="student", label="what", number="kind"),
    Learnt: _tags(person="student", label="strand", number="guess value through since"),
    PastRound: _tags(label="activity", plain="unit key date in_pairs"),
    Unheld: _tags(plain="lesson after rest_in"),
}
"""The tag of every field that holds values; fields that hold dataclasses have none of their own."""

TYPED = (Tag.LABEL, Tag.FREE_TEXT)
"""What a teacher has typed."""


T = TypeVar("T")


def changed(value: T, by: Mapping[Tag, Callable[[str], str]]) -> T:
    """A value with the texts of some tags changed, however deep in it; the same value where none is."""
    there: T = _changed(value, by)
    return there


def _changed(value: Any, by: Mapping[Tag, Callable[[str], str]]) -> Any:
    if type(value) is tuple:
        items = tuple(_changed(item, by) for item in value)
        return value if all(new is old for new, old in zip(items, value, strict=True)) else items
    if not is_dataclass(value) or isinstance(value, type):
        return value
    tags = TAGS.get(type(value), {})
    parts = {each.name: getattr(value, each.name) for each in fields(value)}
    now = dict(parts)
    for name, old in parts.items():
        tag = tags.get(name)
        if tag is None:
            now[name] = _changed(old, by)
        elif isinstance(old, Mapping) and tag is Tag.NUMBER and Tag.LABEL in by:
            there = {by[Tag.LABEL](key): number for key, number in old.items()}
            now[name] = old if list(there) == list(old) else there
        elif tag in by:
            now[name] = _each_text(old, by[tag])
    differs = {name: new for name, new in now.items() if new is not parts[name]}
    return replace(value, **differs) if differs else value


def _each_text(value: Any, change: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return change(value)
    if type(value) is tuple:
        items = tuple(_each_text(item, change) for item in value)
        return value if items == value else items
    return value


def texts_in(value: Any, tags: Collection[Tag]) -> Iterator[str]:
    """Every text of these tags in a value, in the order of its fields."""
    found: list[str] = []

    def seen(text: str) -> str:
        found.append(text)
        return text

    changed(value, dict.fromkeys(tags, seen))
    yield from found


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
    # Absences stand in the order of ids, which are others now.
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
