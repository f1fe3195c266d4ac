"""How the rounds of a lesson went: what a teacher says after a round, put into the verbs, and what is shown of it.

How the task was for a group, what was counted, who coached; for the teacher alone. The sentences stand in the bar on
top, which students may see at the door: they name a group and never say how it went.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.students import lesson_names, rounds_of
from grouper.model.ledger import COACH
from grouper.model.noted import TaskResult
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.noting import noted, unseen
from grouper.planning.ran import had_role
from grouper.tasks.choose import with_result

WORDS = (("easy", "too easy"), ("right", "right"), ("hard", "too hard"))


@dataclass(frozen=True)
class Member:
    """A student of a group by id and short name, and whether they were the coach."""

    id: str
    name: str
    coach: bool


@dataclass(frozen=True)
class WentGroup:
    """A group: who is in it by the alphabet, the word that was tapped, successes and attempts as texts; empty where
    nothing was said."""

    label: str
    members: tuple[Member, ...]
    felt: str
    hits: str
    tries: str


@dataclass(frozen=True)
class WentRound:
    """A round with its groups by label, and whether students coached one another, or were meant to.

    ``said`` counts the groups of which something was said.
    """

    place: int
    activity: str
    coaching: bool
    groups: tuple[WentGroup, ...]

    @property
    def said(self) -> int:
        """Of how many groups something was said."""
        return sum(bool(group.felt or group.tries) for group in self.groups)


def went_view(record: ClassRecord, lesson: int) -> tuple[WentRound, ...]:
    """The rounds of a lesson in the order of play (InputError where it has no groups)."""
    names = lesson_names(record, lesson)
    return tuple(_went_round(record, names, round_) for round_ in rounds_of(record, lesson))


def _went_round(record: ClassRecord, names: dict[str, str], round_: Round) -> WentRound:
    groups = sorted(round_.groups, key=lambda group: label_order(group.label))
    return WentRound(
        record.place_in_lesson(round_.key),
        record.unit.activity(round_.key).name,
        _is_coaching(record, round_),
        tuple(_went_group(record, names, round_, group) for group in groups),
    )


def _went_group(record: ClassRecord, names: dict[str, str], round_: Round, group: Group) -> WentGroup:
    result = result_of(record, round_.key, group.label)
    people = (Member(student, names[student], group.role(student) == COACH) for student in group.members)
    members = tuple(sorted(people, key=lambda member: (name_order(member.name), member.id)))
    if result is None:
        return WentGroup(group.label, members, "", "", "")
    hits, tries = ("" if number is None else str(number) for number in (result.hits, result.tries))
    return WentGroup(group.label, members, result.felt, hits, tries)


def _is_coaching(record: ClassRecord, round_: Round) -> bool:
    coaches = any(COACH in group.roles for group in round_.groups)
    return coaches or record.unit.activity(round_.key).aim == "coaching"


Done = tuple[ClassRecord, str]

Counted = tuple[str, str]
"""What stands in the two fields of a group: successes and attempts."""


def with_note(record: ClassRecord, lesson: int, text: str) -> Done:
    """A note on the lesson; an empty one takes it away."""
    return noted(record, lesson, 0, text), f"note on lesson {lesson}"


def coached(record: ClassRecord, lesson: int, place: int, student: str) -> Done:
    """A student was the coach of their group in a round, and the others were learners."""
    done = had_role(record, record.round_at(lesson, place), student, COACH)
    return done, f"who coached in round {place} of lesson {lesson}"


def felt(record: ClassRecord, lesson: int, place: int, label: str, word: str) -> Done:
    """The task was easy, right or hard for a group; an empty word takes that back, and what was counted stays."""
    key = record.round_at(lesson, place)
    before = result_of(record, key, label)
    return _with(record, key, label, replace_felt(before, key, label, word)), _where(lesson, place, label)


def replace_felt(before: TaskResult | None, key: RoundKey, label: str, word: str) -> TaskResult | None:
    """The result with another word, or None where nothing is left to say."""
    if before is None:
        return TaskResult(key, label, word) if word else None
    return replace(before, felt=word) if word or before.tries else None


def counted(
    record: ClassRecord, lesson: int, place: int, were: Mapping[str, Counted], now: Mapping[str, Counted]
) -> Done:
    """Successes of attempts as they were typed, by group; only what is other than the page showed counts as typed.

    Raises
    ------
    InputError
        A group has one number of the two, or numbers that cannot be.
    """
    key = record.round_at(lesson, place)
    typed = {label: fields for label, fields in now.items() if fields != were.get(label)}
    if not typed:
        raise InputError("no number was changed; type successes and attempts of a group first")
    for label, (hits, tries) in typed.items():
        before = result_of(record, key, label)
        record = _with(record, key, label, _with_numbers(before, key, label, hits, tries))
    return record, f"successes counted in round {place} of lesson {lesson}"


def _with_numbers(before: TaskResult | None, key: RoundKey, label: str, hits: str, tries: str) -> TaskResult | None:
    said, at = (before.felt, before.at) if before else ("", ())
    if not hits and not tries:
        return TaskResult(key, label, said, at=at) if said else None
    return TaskResult(key, label, said, _number(label, hits), _number(label, tries), at)


def _number(label: str, text: str) -> int:
    if text.isascii() and text.isdecimal() and len(text) < 5:
        return int(text)
    wrong = "group {label}: '{text}' is no number" if text else "group {label}: successes and attempts go together"
    raise InputError(wrong, "write both, such as 7 of 10; nothing was saved", label=label, text=text)


def _with(record: ClassRecord, key: RoundKey, label: str, result: TaskResult | None) -> ClassRecord:
    if result is not None:
        return with_result(record, result)
    before = result_of(record, key, label)
    return unseen(record, before) if before else record


def _where(lesson: int, place: int, label: str) -> str:
    return f"how round {place} of lesson {lesson} went for group {label}"


def result_of(record: ClassRecord, key: RoundKey, label: str) -> TaskResult | None:
    """What was seen of a group in a round, or None."""
    return next((result for result in record.results if (result.key, result.label) == (key, label)), None)
