"""Which activity of a lesson is meant, and which groups play in it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from grouper.errors import InputError
from grouper.games.asked import require
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey
from grouper.words import Remedy, folded


def activity_meant(record: ClassRecord, lesson: int, name: str | None) -> Activity:
    """The activity of a lesson with this name, upper and lower case alike; with no name the lesson's only one.

    Raises
    ------
    InputError
        There is no such lesson or activity, or it is not clear which one is meant.
    """
    activities = record.lesson(lesson).activities
    wanted = [a for a in activities if name is None or folded(a.name) == folded(name)]
    if len(wanted) == 1:
        return wanted[0]
    names = ", ".join(f"'{activity.name}'" for activity in activities)
    if name is None:
        raise InputError(f"lesson {lesson} has {len(activities)} activities; say which one: {names}")
    raise InputError(f"lesson {lesson} has no activity '{name}'; it has {names}")


def round_meant(record: ClassRecord, lesson: int, activity: Activity, number: int = 1) -> Round:
    """The planned round of an activity (InputError where there is none)."""
    require(
        1 <= number <= activity.rounds,
        f"'{activity.name}' in lesson {lesson} has rounds 1 to {activity.rounds}, not {number}",
    )
    place = record.lesson(lesson).activities.index(activity) + 1
    round_ = record.plan.by_key.get(RoundKey(lesson, place, number))
    if round_ is None:
        raise InputError("lesson {lesson} has no groups yet", Remedy.MAKE_GROUPS, lesson=lesson)
    return round_


def labels_of(groups: Iterable[Group]) -> tuple[str, ...]:
    """Labels in the order in which teams are numbered: whole numbers by value, then words.

    >>> labels_of([Group("10", ()), Group("2", ()), Group("Red", ())])
    ('2', '10', 'Red')
    """
    return tuple(sorted((group.label for group in groups), key=_by_label))


def _by_label(label: str) -> tuple[int, int, str, str]:
    number = int(label) if label.isascii() and label.isdigit() and len(label) < 16 else 0
    return (0, number, "", label) if number else (1, 0, label.casefold(), label)


def number_of(label: str, labels: Sequence[str], what: str) -> int:
    """The number, from 1, of the team or group with this label; InputError where there is none.

    >>> number_of("2", ("1", "2", "3"), "team")
    2
    """
    known = [folded(each) for each in labels]
    if folded(label) in known:
        return known.index(folded(label)) + 1
    raise InputError(f"there is no {what} {label}; there are {', '.join(labels)}")
