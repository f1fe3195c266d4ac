"""What the last change touched, so that the page marks this alone."""

from __future__ import annotations

from dataclasses import dataclass, field

from grouper.faces.views.student_lesson import lesson_names
from grouper.model.record import ClassRecord
from grouper.planning.reshape import RoundChange, changes_in

Spot = tuple[int, int, str]
"""A group: its lesson, the place of its round in the lesson from 1, and its label."""


@dataclass(frozen=True)
class Marks:
    """Groups that are different from before, with the short names of those who were not in them."""

    groups: dict[Spot, frozenset[str]] = field(default_factory=dict)

    def in_round(self, lesson: int, place: int) -> dict[str, frozenset[str]]:
        """The marked groups of a round by label."""
        return {spot[2]: names for spot, names in self.groups.items() if spot[:2] == (lesson, place)}

    def lessons(self) -> tuple[int, ...]:
        """Lessons with a marked group."""
        return tuple(sorted({spot[0] for spot in self.groups}))


NO_MARKS = Marks()


def marks_between(before: ClassRecord, after: ClassRecord) -> Marks:
    """What is different in a record; nothing for rounds that are not in both."""
    groups: dict[Spot, frozenset[str]] = {}
    for change in changes_in(before, after):
        groups.update(_of_round(after, change))
    return Marks(groups)


def _of_round(record: ClassRecord, change: RoundChange) -> dict[Spot, frozenset[str]]:
    names = lesson_names(record, change.key.lesson)
    place = record.place_in_lesson(change.key)
    were = {group.label: set(group.members) for group in change.before}
    return {
        (change.key.lesson, place, group.label): frozenset(
            names[student] for student in group.members if student not in were.get(group.label, set())
        )
        for group in change.after
    }
