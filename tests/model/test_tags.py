"""Every field of a record says what it tells of people, and what is done by the tags is done to all of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, get_args, get_type_hints

from grouper.model.record import ClassRecord
from grouper.model.tags import TAGS, Tag, Tags, changed, texts_in
from tests.privacy.classes import invented_class

NAME_STUDENTS = {"student", "other", "members", "lineup"}
"""Names of fields that hold ids of students."""


def dataclasses_in(hint: Any) -> Iterator[type]:
    """The dataclasses in a type, however deep."""
    if isinstance(hint, type) and is_dataclass(hint):
        yield hint
    for part in get_args(hint):
        yield from dataclasses_in(part)


def untagged(of: type, tags: dict[type, Tags], seen: set[type]) -> Iterator[str]:
    """Fields of a dataclass, and of those in its fields, that have no tag and hold no dataclass either."""
    seen.add(of)
    for name, hint in get_type_hints(of).items():
        within = list(dataclasses_in(hint))
        if not within and name not in tags.get(of, {}):
            yield f"{of.__name__}.{name}"
        for each in within:
            if each not in seen:
                yield from untagged(each, tags, seen)


def test_every_field_of_a_record_has_a_tag() -> None:
    """A field that is new gets one before anything is done with it, and no tag is of a field that is gone."""
    seen: set[type] = set()
    assert list(untagged(ClassRecord, TAGS, seen)) == []
    assert set(TAGS) <= seen
    for of, tags in TAGS.items():
        assert set(tags) <= {each.name for each in fields(of)}, of


@dataclass(frozen=True)
class Shoes:
    """Made up: a fact of which nobody has said whether it is personal."""

    student: str
    size: float


@dataclass(frozen=True)
class Changing:
    """Made up: what holds it."""

    shoes: tuple[Shoes, ...] = ()


def test_a_field_without_a_tag_is_found() -> None:
    """The test above can fail: deep in a new part, and in a part that has tags for its other fields."""
    assert list(untagged(Changing, {}, set())) == ["Shoes.student", "Shoes.size"]
    assert list(untagged(Changing, {Shoes: {"student": Tag.PERSON}}, set())) == ["Shoes.size"]


def test_a_field_that_names_students_is_tagged_as_one() -> None:
    """By the names that such fields have, all over the model."""
    for of, tags in TAGS.items():
        named = {each.name for each in fields(of)} & NAME_STUDENTS
        assert named == {name for name, tag in tags.items() if tag is Tag.PERSON} - {"id"}, of


def test_texts_of_a_tag_are_found_and_changed_and_no_others() -> None:
    """What is found in the changed record is what was found before, changed; what is not of the tag is the same."""
    record = invented_class()
    before = list(texts_in(record, (Tag.LABEL,)))
    there = changed(record, {Tag.LABEL: lambda text: f"<{text}>"})
    assert before and list(texts_in(there, (Tag.LABEL,))) == [f"<{text}>" for text in before]
    for tag in (Tag.PERSON, Tag.NAME, Tag.FREE_TEXT, Tag.PLAIN):
        assert list(texts_in(there, (tag,))) == list(texts_in(record, (tag,)))
    assert changed(record, {Tag.LABEL: str}) is record
