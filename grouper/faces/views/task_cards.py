"""The tasks of a lesson to be handed out where groups have different ones: a card a group, or a place a task.

Allow-listed as what students see: no step, reason, rating or strand has a field. Cards stand in the order of labels,
places in the order of the alphabet, so that no order tells which task is harder. Two who lay their cards side by side
can still compare them, and places are in everybody's sight: ``RISK`` and ``RISK_OF_PLACES`` say so to the teacher.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from string import ascii_uppercase

from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of, rule_for_students
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.tasks.rounds import GroupTask, tasks_of_round

RISK = "Give each group its own card and nothing else: two cards side by side can be compared."
RISK_OF_PLACES = (
    "Places are in everybody's sight: who compares two tasks can tell which is harder, and who is there. "
    "Cards tell less."
)


@dataclass(frozen=True)
class TaskLine:
    """A task, and who does it where that is not the whole group: ``after`` where they do so after a swap of roles.

    ``or_else`` is another way to choose instead; of the two neither is first but by the alphabet.
    """

    task: str
    who: str = ""
    after: bool = False
    or_else: str = ""


@dataclass(frozen=True)
class TaskCard:
    """A card: which round and activity, what stands on top (a group or a place), people or groups, the tasks, and how
    points count."""

    place: int
    activity: str
    title: str
    people: tuple[str, ...]
    tasks: tuple[TaskLine, ...]
    rule: str = ""


@dataclass(frozen=True)
class TaskCards:
    """The cards of a lesson, none where every round has one task for all, or none at all."""

    lesson: int
    date: str
    cards: tuple[TaskCard, ...]

    @property
    def rounds(self) -> tuple[int, ...]:
        """The rounds that have cards."""
        return tuple(sorted({card.place for card in self.cards}))


def task_cards(record: ClassRecord, lesson: int, at_places: bool = False) -> TaskCards:
    """The cards of the rounds in which groups have different tasks; ``at_places`` for a card a task, where it can be.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    names = lesson_names(record, lesson)
    cards = [card for round_ in rounds_of(record, lesson) for card in _of_round(record, names, round_, at_places)]
    return TaskCards(lesson, record.lesson(lesson).date, tuple(cards))


def _of_round(record: ClassRecord, names: dict[str, str], round_: Round, at_places: bool) -> Iterator[TaskCard]:
    tasks = tasks_of_round(record, round_.key)
    place, activity = record.place_in_lesson(round_.key), record.unit.activity(round_.key).name
    if len({choices for task in tasks.values() for choices in task.on_card}) < 2:
        return
    rule = rule_for_students(record, activity, round_.key.lesson)
    # Who swaps roles has another task then, and could not be at one place.
    if at_places and not any(task.swapped for task in tasks.values()):
        yield from (replace(card, rule=rule) for card in _places(tasks, place, activity))
        return
    for group in sorted(round_.groups, key=lambda group: label_order(group.label)):
        if group.label in tasks:
            people = tuple(sorted((names[member] for member in group.members), key=name_order))
            yield TaskCard(place, activity, f"Group {group.label}", people, _lines(tasks[group.label], names), rule)


def _lines(task: GroupTask, names: dict[str, str]) -> tuple[TaskLine, ...]:
    if len(task.on_card) == 1:
        return (_line(task.choices),)
    learners = " and ".join(names[member] for member in task.learners)
    return (_line(task.choices, learners), *(_line(each.choices, names[each.student], True) for each in task.swapped))


def _line(choices: tuple[str, ...], who: str = "", after: bool = False) -> TaskLine:
    return TaskLine(choices[0], who, after, *choices[1:])


def _places(tasks: Mapping[str, GroupTask], place: int, activity: str) -> Iterator[TaskCard]:
    texts = sorted({task.choices for task in tasks.values()}, key=lambda choices: [name_order(one) for one in choices])
    for letter, text in zip(ascii_uppercase, texts, strict=False):
        labels = sorted((label for label, task in tasks.items() if task.choices == text), key=label_order)
        people = tuple(f"group {label}" for label in labels)
        yield TaskCard(place, activity, f"Place {letter}", people, (_line(text),))
