"""What a teacher writes down after a round: a note, and how the task of a group went; both may come long after."""

from __future__ import annotations

from dataclasses import replace

from grouper.errors import InputError
from grouper.model.note import Note
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult


def noted(record: ClassRecord, lesson: int, place: int, text: str) -> ClassRecord:
    """The record with a note in the place of the one before; an empty text takes it away.

    ``place`` is a round of the lesson, counted from 1 over its activities, or 0 for the whole lesson.

    Raises
    ------
    InputError
        There is no such lesson or round, or the text is too long.
    """
    rounds = len(record.lesson(lesson).keys)
    if not 0 <= place <= rounds:
        raise InputError(f"lesson {lesson} has rounds 1 to {rounds}, not {place}")
    others = [note for note in record.notes if (note.lesson, note.place) != (lesson, place)]
    new = [Note(lesson, place, text.strip())] if text.strip() else []
    return replace(record, notes=tuple(sorted([*others, *new])))


def note_of(record: ClassRecord, lesson: int, place: int = 0) -> str:
    """The note on a round of a lesson, or on the whole of it; empty where there is none."""
    return next((note.text for note in record.notes if (note.lesson, note.place) == (lesson, place)), "")


def seen(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record with what was seen of a group's task, in the place of what was seen of it before.

    The round has been played then: it is pinned, so that planning anew makes no other groups of it.

    Raises
    ------
    InputError
        The round has no groups, or none with this label.
    """
    round_ = record.plan.by_key.get(result.key)
    labels = [group.label for group in round_.groups] if round_ else []
    if result.label not in labels:
        known = f"its groups are {', '.join(labels)}" if labels else "it has no groups"
        where = f"round {result.key.round} of lesson {result.key.lesson}"
        raise InputError(f"{where} has no group '{result.label}'; {known}")
    pinned = record.plan.with_rounds({result.key: replace(round_, pinned=True)}) if round_ else record.plan
    return replace(record, plan=pinned, results=tuple(sorted([*_without(record, result), result], key=_order)))


def without_stale_results(record: ClassRecord, before: Plan) -> ClassRecord:
    """The record without what was seen of groups that have other members now than in the plan ``before``.

    A result is about the people who worked together, and would speak of others where a round was planned or mended
    anew. (Where a round is only put right, ``ran_as``, it was about those people all along, and stays.)
    """
    kept = tuple(r for r in record.results if _members(record.plan, r) == _members(before, r))
    return record if kept == record.results else replace(record, results=kept)


def _members(plan: Plan, result: TaskResult) -> frozenset[str]:
    round_ = plan.by_key.get(result.key)
    groups = round_.groups if round_ else ()
    return next((frozenset(group.members) for group in groups if group.label == result.label), frozenset())


def unseen(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record without what was seen of that group in that round."""
    return replace(record, results=tuple(_without(record, result)))


def _without(record: ClassRecord, result: TaskResult) -> list[TaskResult]:
    return [other for other in record.results if _order(other) != _order(result)]


def _order(result: TaskResult) -> tuple[tuple[int, int, int], str]:
    return result.key, result.label
