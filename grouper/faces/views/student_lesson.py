"""What students may see of a lesson: built field by field, and nothing that is not named here can get in.

No rating, request, size band, aim, strand, gap or step of a ladder has a field, nor has a task that some groups have
and others have not: side by side they could be compared. Groups stand in the order of their
labels and names in the order of the alphabet, so that no order tells anything either.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.faces.views.attendance_list import HELPER, shown_role
from grouper.faces.views.names import display_names, label_order, name_order
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.totals import last_total

ASK = "Ask for your group's task"
"""Stands where groups have different tasks, which no wall or screen shows."""


@dataclass(frozen=True)
class Person:
    """A student by short name, and their role in a round, empty for none."""

    name: str
    role: str = ""


@dataclass(frozen=True)
class GroupCard:
    """A group: its label, and its members by the alphabet."""

    label: str
    members: tuple[Person, ...]


@dataclass(frozen=True)
class RoundBlock:
    """One round as students see it.

    ``place`` counts over the whole lesson from 1. ``task`` is the task of all groups where they share one; where they
    have different ones, these are ``on_cards``, which everybody reads for themselves. ``rule`` is how points are won
    and lost, the same for all. ``aside`` are those who are there
    without taking part, with what they do. ``same_as`` is the place of an earlier round, where everything
    but the activity is the same since then.
    """

    place: int
    activity: str
    minutes: float | None
    groups: tuple[GroupCard, ...]
    aside: tuple[Person, ...] = ()
    same_as: int | None = None
    task: str = ""
    on_cards: bool = False
    rule: str = ""

    @property
    def what_to_do(self) -> str:
        """The line above the groups: their task, or that each has one of its own, and how points count; or empty."""
        task = self.task or (ASK if self.on_cards else "")
        return " ".join(filter(None, (f"{task}." if task and self.rule and task[-1] not in ".!?" else task, self.rule)))


@dataclass(frozen=True)
class StudentLessonView:
    """One lesson as students see it; ``date`` as in the unit, ``YYYY-MM-DD`` or empty."""

    lesson: int
    date: str
    rounds: tuple[RoundBlock, ...]


def student_lesson_view(record: ClassRecord, lesson: int) -> StudentLessonView:
    """The allow-listed view of a lesson.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    names = lesson_names(record, lesson)
    blocks: list[RoundBlock] = []
    for round_ in rounds_of(record, lesson):
        block = _block(record, names, round_)
        blocks.append(replace(block, same_as=_same_as(block, blocks)))
    return StudentLessonView(lesson, record.lesson(lesson).date, tuple(blocks))


def rounds_of(record: ClassRecord, lesson: int) -> tuple[Round, ...]:
    """The rounds of a lesson in the order of play, none missing (InputError where one is)."""
    keys = record.lesson(lesson).keys
    missing = [key for key in keys if key not in record.plan.by_key]
    if missing:
        raise InputError(f"lesson {lesson} has no groups yet; plan the unit first")
    return tuple(record.plan.by_key[key] for key in keys)


def lesson_names(record: ClassRecord, lesson: int) -> dict[str, str]:
    """Short names of everybody who belongs to the class in a lesson or has a place in it, by id."""
    grouped = {student for round_ in record.plan.of_lesson(lesson) for student in round_.students}
    students = record.roster.in_unit
    here = [student for student in record.roster.students if student.belongs_in(lesson) or student.id in grouped]
    return display_names(here, students)


def _block(record: ClassRecord, names: dict[str, str], round_: Round) -> RoundBlock:
    from grouper.tasks.rounds import tasks_of_round  # brings numpy: only where a lesson is shown

    activity = record.unit.activity(round_.key)
    cards_of_groups = {choices for task in tasks_of_round(record, round_.key).values() for choices in task.on_card}
    groups = (_card(group, names) for group in round_.groups)
    cards = tuple(sorted(groups, key=lambda card: label_order(card.label)))
    place = record.place_in_lesson(round_.key)
    rule = rule_for_students(record, activity.name, round_.key.lesson)
    block = RoundBlock(place, activity.name, activity.minutes, cards, _aside(record, names, round_.key), rule=rule)
    if len(cards_of_groups) == 1:
        return replace(block, task=" Or: ".join(cards_of_groups.pop()))
    return replace(block, on_cards=bool(cards_of_groups))


def rule_for_students(record: ClassRecord, activity: str, lesson: int) -> str:
    """How points count in an activity, in a sentence, with what the class had last where it plays for its total.

    A total is the class's and nobody's; no other number of points stands beside a rule.
    """
    challenge, scoring = record.challenge(activity), record.scoring(activity)
    rule = challenge.rule if challenge else ""
    last = last_total(record, activity, lesson) if scoring and scoring.together else None
    return f"{rule} Last time: {last}." if last is not None else rule


def _card(group: Group, names: dict[str, str]) -> GroupCard:
    people = (Person(names[student], shown_role(group.role(student))) for student in group.members)
    return GroupCard(group.label, _by_name(people))


def _aside(record: ClassRecord, names: dict[str, str], key: RoundKey) -> tuple[Person, ...]:
    """Those who are there without taking part in a round, each with a role that students may read."""
    round_ = record.plan.by_key.get(key)
    seated = set(round_.students) if round_ else set()
    others = (student for student in record.roster.students if student.id not in seated)
    students = (student for student in others if record.state(student, key) == "aside")
    return _by_name(
        Person(names[student.id], shown_role(_task(record, student.id, key), HELPER)) for student in students
    )


def _by_name(people: Iterable[Person]) -> tuple[Person, ...]:
    """People by the alphabet."""
    return tuple(sorted(people, key=lambda person: name_order(person.name)))


def _task(record: ClassRecord, student: str, key: RoundKey) -> str:
    place = record.place_in_lesson(key)
    covering = (absence.role for absence in record.absences_of(student, key.lesson) if absence.covers(place))
    return next(covering, "")


def _same_as(block: RoundBlock, before: list[RoundBlock]) -> int | None:
    """The earlier round whose groups are still standing, or None."""
    if not before or _what_stands(before[-1]) != _what_stands(block):
        return None
    return before[-1].same_as or before[-1].place


def _what_stands(block: RoundBlock) -> tuple[object, ...]:
    return block.groups, block.aside, block.task, block.on_cards, block.rule
