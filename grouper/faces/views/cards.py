"""Cards to hand out: a task that some groups have and others have not, and what is one child's alone.

On a wall either could be compared. A card is a group's, or a child's, and there is never a list of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from string import ascii_uppercase
from typing import TYPE_CHECKING

from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.play_view import rule_for_students
from grouper.faces.views.students import job_in_words, lesson_names, role_aside, rounds_of
from grouper.faces.wording.words import points_in_words
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.jobs import jobs_in
from grouper.tasks.kept import own_last

if TYPE_CHECKING:
    from grouper.tasks.rounds import GroupTask

RISK = "Give each group its own card and nothing else: two cards side by side can be compared."
RISK_OF_PLACES = (
    "Places are in everybody's sight: who compares two tasks can tell which is harder, and who is there. "
    "Cards tell less."
)


@dataclass(frozen=True)
class TaskLine:
    """A task, and who does it where that is not the whole group: ``after`` where they do so after a swap of roles.

    ``ways`` are the two to choose from, for children to tick the one that they took.
    """

    task: str
    who: str = ""
    after: bool = False
    ways: tuple[str, ...] = ()


@dataclass(frozen=True)
class TaskCard:
    """A card: which round and activity, what stands on top (a group, a place, or a child), people or groups, the tasks,
    and how points count.

    ``own`` is what the one child whose card it is had or chose last time; on a card of several it is empty. ``to_fill``
    is whether there is a line for today's points. A card with a child's name on top has no people.
    """

    place: int
    activity: str
    title: str
    people: tuple[str, ...]
    tasks: tuple[TaskLine, ...]
    rule: str = ""
    own: str = ""
    to_fill: bool = False


@dataclass(frozen=True)
class TaskCards:
    """The cards of a lesson: none where every round has one task for all, or none at all, and nobody a mark to beat."""

    lesson: int
    date: str
    cards: tuple[TaskCard, ...]

    @property
    def rounds(self) -> tuple[int, ...]:
        """The rounds in which groups have different tasks."""
        return tuple(sorted({card.place for card in self.cards if card.people}))


def task_cards(record: ClassRecord, lesson: int, at_places: bool = False) -> TaskCards:
    """The cards of the rounds in which groups have different tasks, and of children who are to beat their own last
    time; ``at_places`` for a card a task, where it can be.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    names = lesson_names(record, lesson)
    cards = [card for round_ in rounds_of(record, lesson) for card in _of_round(record, names, round_, at_places)]
    return TaskCards(lesson, record.lesson(lesson).date, tuple(cards))


def _of_round(record: ClassRecord, names: dict[str, str], round_: Round, at_places: bool) -> Iterator[TaskCard]:
    cards = tuple(_of_groups(record, names, round_, at_places))
    yield from cards
    if not _to_beat(record, round_.key):
        return
    served = {card.people for card in cards if card.own or card.to_fill}
    place, activity = record.place_in_lesson(round_.key), record.unit.activity(round_.key).name
    rule = rule_for_students(record, activity, round_.key.lesson)
    # Last marks stand on a card each and never on one of two, or somebody would read them side by side.
    for student in sorted(round_.students, key=lambda student: name_order(names[student])):
        if (names[student],) not in served:
            yield TaskCard(place, activity, names[student], (), (), rule, _had(record, round_.key, student), True)


def _to_beat(record: ClassRecord, key: RoundKey) -> bool:
    """Whether children are to beat their own last time in a round."""
    scoring = record.scoring(record.unit.activity(key).name)
    return scoring is not None and scoring.alone


def _had(record: ClassRecord, key: RoundKey, student: str) -> str:
    """What a child had last time, for their own card; empty where they are to beat nothing, or had nothing yet."""
    points = own_last(record, key, student) if _to_beat(record, key) else None
    return "" if points is None else f"Your last time: {points_in_words(points)}."


def _of_groups(record: ClassRecord, names: dict[str, str], round_: Round, at_places: bool) -> Iterator[TaskCard]:
    from grouper.tasks.rounds import tasks_of_round  # brings numpy: only where a lesson is shown

    tasks = tasks_of_round(record, round_.key)
    place, activity = record.place_in_lesson(round_.key), record.unit.activity(round_.key).name
    if len({text for task in tasks.values() for text in task.texts}) < 2:
        return
    rule = rule_for_students(record, activity, round_.key.lesson)
    for student, job in jobs_in(record, round_.key).items():
        title = role_aside(record, student, round_.key).capitalize()
        yield TaskCard(place, activity, title, (names[student],), (TaskLine(job_in_words(record, round_.key, job)),))
    # Who swaps roles has another task then, and could not be at one place.
    if at_places and not any(task.swapped for task in tasks.values()):
        yield from (replace(card, rule=rule) for card in _places(tasks, place, activity))
        return
    for group in sorted(round_.groups, key=lambda group: label_order(group.label)):
        if group.label in tasks:
            people = tuple(sorted((names[member] for member in group.members), key=name_order))
            card = TaskCard(place, activity, f"Group {group.label}", people, _lines(tasks[group.label], names), rule)
            yield _with_own(record, round_.key, group, tasks[group.label], card)


def _with_own(record: ClassRecord, key: RoundKey, group: Group, task: GroupTask, card: TaskCard) -> TaskCard:
    """The card of a child alone with what they had and chose last time."""
    if len(group.members) != 1:
        return card
    (student,) = group.members
    said = (_had(record, key, student), _chose(record, key, student, task))
    return replace(card, own=" ".join(filter(None, said)), to_fill=_to_beat(record, key))


def _chose(record: ClassRecord, key: RoundKey, student: str, task: GroupTask) -> str:
    """Which of two ways a child took last time, where the same lever is to choose from today."""
    earlier = (one for one in reversed(record.chosen_tasks) if one.key < key and student in one.members)
    same = (one for one in earlier if task.challenge.fits(record.unit.activity(one.key).name))
    last = next((one for one in same if task.challenge.holds(one.at)), None)
    if last is None or not task.ways:
        return ""
    ((lever, _, _),) = task.ways
    return f"Last time you took: {lever.settings[last.at[task.challenge.levers.index(lever)] - 1].said}."


def _lines(task: GroupTask, names: dict[str, str]) -> tuple[TaskLine, ...]:
    if len(task.texts) == 1:
        return (TaskLine(task.card, ways=task.to_choose),)
    learners = " and ".join(names[member] for member in task.learners)
    first = TaskLine(task.card, learners, ways=task.to_choose)
    return (first, *(TaskLine(each.card, names[each.student], True) for each in task.swapped))


def _places(tasks: Mapping[str, GroupTask], place: int, activity: str) -> Iterator[TaskCard]:
    texts = sorted({task.card for task in tasks.values()}, key=name_order)
    for letter, text in zip(ascii_uppercase, texts, strict=False):
        labels = sorted((label for label, task in tasks.items() if task.card == text), key=label_order)
        people = tuple(f"group {label}" for label in labels)
        yield TaskCard(place, activity, f"Place {letter}", people, (TaskLine(text),))
