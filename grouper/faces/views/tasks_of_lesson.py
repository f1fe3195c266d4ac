"""The tasks of a lesson's groups for the teacher alone, and how tasks and the activities of the unit go together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grouper.errors import InputError
from grouper.faces.views.names import label_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of
from grouper.faces.wording.tasks import task_lines
from grouper.games.days.groups import activity_meant
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.privacy.names import find, given_word
from grouper.tasks.suggest import tasks_of_round
from grouper.words import Remedy, listed


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


FEW = 4
"""So many names are told; a library may hold far more."""


def match_lines(record: ClassRecord) -> Iterator[str]:
    """A line on activities with tasks, one on those without, and one on tasks that no activity is called like."""
    names = list(dict.fromkeys(one.name for lesson in record.unit.lessons for one in lesson.activities))
    having = [name for name in names if any(ladder.fits(name) for ladder in record.ladders)]
    lacking = [name for name in names if name not in having]
    if having:
        yield f"With tasks: {listed(having)}."
    if lacking:
        yield f"Without: {listed(lacking)}."
    yield from idle_lines(record)
    yield from named_lines(record)


def named_lines(record: ClassRecord) -> Iterator[str]:
    """A line for each task in which the given name of a student stands: a task is for whoever gets it, and all read it.

    A word in small letters is taken for a word: 'mark the line' means no Mark.
    """
    given = {given_word(student.name) for student in record.roster.active} - {""}
    for ladder in record.ladders:
        for place, step in enumerate(ladder.steps, start=1):
            names = [step.task[one.start : one.end] for one in find(step.task, given, whole=True)]
            for name in dict.fromkeys(name for name in names if not name.islower()):
                yield f"'{name}' in step {place} for {ladder.activity} is the name of a student, and students read it."


def idle_lines(record: ClassRecord) -> Iterator[str]:
    """A line on tasks whose activity the unit does not have, as after an activity was given another name."""
    names = {one.name for lesson in record.unit.lessons for one in lesson.activities}
    idle = [ladder.activity for ladder in record.ladders if not any(ladder.fits(name) for name in names)]
    if idle:
        yield f"Tasks are kept, but no activity of the unit is called so: {listed(_few(idle))}."


def _few(names: list[str]) -> list[str]:
    more = len(names) - FEW
    return [*names[:FEW], f"{more} more"] if more > 1 else names
