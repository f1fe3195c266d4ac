"""What a form was filled in about: a mark of the unit and groups that the page showed, checked before it is saved.

A group is known by its label alone, and a lesson by its number: after a new plan, or in the next unit, the same words
mean others. A tap from a page that shows what is no longer so is refused rather than saved for whoever is there now.
"""

from __future__ import annotations

from hashlib import sha256

from grouper.errors import InUseError
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.tasks.suggest import ladder_for, tasks_of_round


def unit_mark(record: ClassRecord) -> str:
    """Which of the class's units it is."""
    return str(max((round_.unit for round_ in record.past), default=0) + 1)


def round_marks(record: ClassRecord, lesson: int) -> dict[int, str]:
    """The unit, and who is in which group, for each round of a lesson by its place."""
    return {
        record.place_in_lesson(round_.key): f"{unit_mark(record)}-{_groups_mark(round_)}"
        for round_ in record.plan.of_lesson(lesson)
    }


def task_mark(record: ClassRecord, lesson: int, place: int) -> str:
    """The mark of a round, and which tasks stand on its cards."""
    keys = record.lesson(lesson).keys
    key = keys[place - 1] if 1 <= place <= len(keys) else None
    ladder = ladder_for(record, key) if key else None
    tasks = sorted((label, task.step) for label, task in tasks_of_round(record, key).items()) if key else []
    return f"{round_marks(record, lesson).get(place, '')}-{sha256(repr((ladder, tasks)).encode()).hexdigest()[:12]}"


def lesson_mark(record: ClassRecord, lesson: int) -> str:
    """The same of all rounds together."""
    return " ".join(round_marks(record, lesson).values())


def _groups_mark(round_: Round) -> str:
    groups = [(group.label, sorted(group.members)) for group in round_.groups]
    return sha256(repr(groups).encode()).hexdigest()[:12]


def check_as_shown(now: str, shown: str) -> None:
    """Raise InUseError where the page showed something else than there is now."""
    if shown != now:
        raise InUseError("this page shows what is no longer so, and nothing was saved; load it again")
