"""The tasks of a lesson's groups, round by round, for the teacher alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grouper.errors import InputError
from grouper.faces.views.ordering import label_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of
from grouper.faces.wording.tasks import task_lines
from grouper.games.days.groups import activity_meant
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.suggest import tasks_of_round
from grouper.words import Remedy


def round_lines(record: ClassRecord, key: RoundKey, names: Mapping[str, str]) -> Iterator[str]:
    """Lines for one round whose activity has a ladder."""
    tasks = tasks_of_round(record, key)
    yield f"Round {record.place_in_lesson(key)}, {record.unit.activity(key).name}:"
    yield from task_lines(tasks, sorted(tasks, key=label_order), names)


def lesson_lines(record: ClassRecord, lesson: int, activity: str | None = None) -> Iterator[str]:
    """Lines for each round whose activity has a ladder; with a name, those of this activity alone.

    Raises
    ------
    InputError
        There is no such lesson or activity, it has no groups yet, or no activity meant has a ladder.
    """
    wanted = activity_meant(record, lesson, activity).name if activity else None
    names = lesson_names(record, lesson)
    told = False
    for round_ in rounds_of(record, lesson):
        name = record.unit.activity(round_.key).name
        tasks = tasks_of_round(record, round_.key) if wanted in (None, name) else {}
        if tasks:
            told = True
            yield from round_lines(record, round_.key, names)
    if not told:
        what = f"'{wanted}' has" if wanted else f"the activities of lesson {lesson} have"
        raise InputError("{what} no tasks yet", Remedy.GIVE_TASKS, what=what)
