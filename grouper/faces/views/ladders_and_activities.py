"""Which activities of the unit have tasks, and which tasks belong to no activity."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.files.name_words import find, given_word
from grouper.model.record import ClassRecord
from grouper.words import listed

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
