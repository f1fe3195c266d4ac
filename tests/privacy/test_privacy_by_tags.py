"""What erasing, clearing, handing over, sharing and own data let go of, by the tags of all fields.

The claims hold for whatever a record has: a part that is new is in them as soon as it has tags, and one that would come
along where it must not is found by its type.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from itertools import count
from typing import Any

import pytest

from grouper.model.ledger import PastRound
from grouper.model.levers import Adaptation, Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import Absence, ChosenTask, Learnt, Note
from grouper.model.plan import Group, Plan, Round
from grouper.model.play import Assignment, Points
from grouper.model.record import ClassRecord
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster, Student
from grouper.model.tags import TAGS, TYPED, Tag, changed, texts_in
from grouper.model.unit import Activity, Lesson, Unit
from grouper.privacy.erase import without_person
from grouper.privacy.less import ROLES, Clearing, cleared, handed_over, nameless
from grouper.privacy.own_data import own_data

from .classes import invented_class

MARK = "zqx"

OF_THE_NEXT_TEACHER = {ClassRecord, Roster, Student, Unit, Plan, Settings, Points, PastRound, Group}
AFTER_A_UNIT = OF_THE_NEXT_TEACHER | {Lesson, Activity, Round, Challenge, Lever, Setting, Needed, Store}
TO_SHARE = (AFTER_A_UNIT | {Request, Absence}) - {PastRound, Challenge, Lever, Setting, Needed, Store}
"""All that may be in them; a type that is new is not until somebody has decided so."""


@pytest.fixture
def full() -> ClassRecord:
    """A class with something in every part, and a mark of its own in everything that was typed."""
    record = invented_class()
    settings = (Setting("near", "throw", (Needed("ball"),)), Setting("far", "throw further"))
    record = replace(
        record,
        challenges=(Challenge("Passing", (Lever("distance", settings),)),),
        cupboard=(Store("ball", 3),),
        adaptations=(Adaptation(record.roster.students[0].id, "always", "near"),),
        chosen_tasks=(ChosenTask(record.results[0].key, "1", (2,), (record.roster.students[0].id,)),),
    )
    numbers = count(1)
    marks: dict[str, str] = {text: text for text in ("", *ROLES)}

    def marked(text: str) -> str:
        return marks.setdefault(text, f"{text} {MARK}{next(numbers)}")

    return changed(record, dict.fromkeys(TYPED, marked))


def types_in(value: Any) -> set[type]:
    """Every dataclass that a value is made of."""
    if isinstance(value, tuple):
        return set().union(*map(types_in, value))
    if not is_dataclass(value) or isinstance(value, type):
        return set()
    return {type(value)}.union(*(types_in(getattr(value, each.name)) for each in fields(value)))


def who(record: ClassRecord) -> set[str]:
    """Ids and names."""
    return set(texts_in(record, (Tag.PERSON, Tag.NAME)))


def test_a_class_to_share_holds_nothing_that_was_typed_and_nobody(full: ClassRecord) -> None:
    """No word of the teacher's, no id, no name; and no more kinds of facts than the report is made of."""
    there = nameless(full)
    assert MARK not in repr(there) and not who(full) & who(there)
    assert types_in(there) <= TO_SHARE


def test_the_next_teacher_gets_no_words_and_no_numbers_about_people(full: ClassRecord) -> None:
    """Names, and who was with whom; what is left of the words are names of activities."""
    there = handed_over(full)
    assert types_in(there) <= OF_THE_NEXT_TEACHER
    assert not list(texts_in(there, (Tag.FREE_TEXT,)))
    typed = {text for text in texts_in(there, (Tag.LABEL,)) if MARK in text}
    assert typed == {past.activity for past in there.past}


def test_a_class_cleared_of_names_holds_nobody(full: ClassRecord) -> None:
    """No id and no name of anybody, nor more kinds of facts than the next unit builds on."""
    there = cleared(full, Clearing(names=True))
    assert not who(full) & who(there)
    assert types_in(there) <= AFTER_A_UNIT


def test_whoever_is_erased_is_in_no_text_of_any_tag(full: ClassRecord) -> None:
    """Their whole name and id typed into everything that can be typed: neither is left anywhere in the record."""
    person = replace(full.roster.students[0], last_lesson=1)
    gone = replace(full, roster=full.roster.with_student(person))
    typed = changed(gone, dict.fromkeys(TYPED, lambda text: text and f"{text[:60]} {person.name} {person.id}"))
    assert person.name in repr(typed.unit) and person.name in repr(typed.roster.strands)
    there = without_person(typed, person.id)
    assert person.name not in repr(there) and person.id not in repr(there)
    assert set(there.roster.strands) >= {strand for student in there.roster.students for strand in student.ratings}
    assert {a.strand for lesson in there.unit.lessons for a in lesson.activities} - {""} <= set(there.roster.strands)


@pytest.mark.parametrize("name", ["Fresh Stay", "Coaching Balanced", "Away Breaks", "Spare Circle", "Mild Strong"])
def test_a_name_that_is_a_word_of_the_tool_changes_no_setting(name: str) -> None:
    """Aims, cautions, states, orders and settings are chosen from words, not typed: they stay as they are."""
    record = invented_class()
    odd = replace(record.roster.students[0], name=name, last_lesson=1)
    record = replace(record, roster=record.roster.with_student(odd))
    there = without_person(record, odd.id)
    assert [lesson.activities for lesson in there.unit.lessons] == [each.activities for each in record.unit.lessons]
    assert there.settings == record.settings and there.events[0].asked == record.events[0].asked
    assert cleared(record, Clearing(names=True)).unit.lessons[0] == record.unit.lessons[0]


def test_all_that_was_held_on_the_erased_alone_goes(full: ClassRecord) -> None:
    """Whatever names one student by a field of its own, but that they were away: the counts of others hang on that."""
    person = replace(full.roster.students[0], last_lesson=1)
    there = without_person(replace(full, roster=full.roster.with_student(person)), person.id)
    neutral = there.roster.students[0].id
    assert {type(fact) for fact in held_on(full, person.id)} == {Request, Learnt, Adaptation}
    assert list(held_on(there, neutral)) == []


def held_on(value: Any, student: str) -> Iterator[Any]:
    """What names the student in a field that names one; but for the student and what says that they were away."""
    if isinstance(value, tuple):
        for item in value:
            yield from held_on(item, student)
    if not is_dataclass(value) or isinstance(value, type):
        return
    tags: Mapping[str, Tag] = TAGS.get(type(value), {})
    names = [name for name, tag in tags.items() if tag is Tag.PERSON]
    if any(getattr(value, name) == student for name in names) and not isinstance(value, Student | Absence):
        yield value
    for each in fields(value):
        yield from held_on(getattr(value, each.name), student)


TOLD_IN = {
    Student: "student",
    Request: "requests",
    Absence: "attendance",
    Group: "rounds",
    ChosenTask: "chosen_tasks",
    Learnt: "ratings",
    Assignment: "games",
    Adaptation: "adaptations",
}
"""In which table of a student's own data each kind of fact that names students is told."""


def test_own_data_tells_every_kind_of_fact_that_names_the_student(full: ClassRecord) -> None:
    """Each has a table, and one with something in it where there is something."""
    assert {of for of, tags in TAGS.items() if Tag.PERSON in tags.values()} == set(TOLD_IN)
    facts = own_data(full, full.roster.students[0].id)
    assert all(facts[TOLD_IN[type(fact)]] for fact in held_on(full, full.roster.students[0].id))
    assert facts["rounds"] and facts["student"]["id"] == full.roster.students[0].id


def test_own_data_names_no_classmate_whatever_was_typed(full: ClassRecord) -> None:
    """A classmate's whole name and id typed into everything that can be typed: neither is in the copy."""
    own, other = full.roster.students[5], full.roster.students[6]
    both = f"{other.name} {other.id}"
    typed = changed(full, dict.fromkeys(TYPED, lambda text: f"{own.name} {text[:60]} {both}"))
    typed = replace(typed, notes=(*typed.notes, Note(1, 3, f"{own.name} and {both}")))
    copy = json.dumps(own_data(typed, own.id), ensure_ascii=False)
    assert other.name not in copy and other.id not in copy
    assert other.name in repr(typed.unit) and own.name in copy
