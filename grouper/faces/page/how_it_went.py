"""What a teacher says after a round, put into the verbs: how the task was for a group, and what was counted.

The sentences stand in the bar on top, which students may see at the door: they name a group and never say how it went.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from grouper.errors import InputError
from grouper.model.ledger import COACH
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.model.unit import RoundKey
from grouper.planning.noting import noted, unseen
from grouper.planning.ran import had_role
from grouper.tasks.remember import went

Done = tuple[ClassRecord, str]

Counted = tuple[str, str]
"""What stands in the two fields of a group: successes and attempts."""


def with_note(record: ClassRecord, lesson: int, text: str) -> Done:
    """A note on the lesson; an empty one takes it away."""
    return noted(record, lesson, 0, text), f"note on lesson {lesson}"


def coached(record: ClassRecord, lesson: int, place: int, student: str) -> Done:
    """A student was the coach of their group in a round, and the others were learners."""
    done = had_role(record, key_of(record, lesson, place), student, COACH)
    return done, f"who coached in round {place} of lesson {lesson}"


def felt(record: ClassRecord, lesson: int, place: int, label: str, word: str) -> Done:
    """The task was easy, right or hard for a group; an empty word takes that back, and what was counted stays."""
    key = key_of(record, lesson, place)
    before = result_of(record, key, label)
    return _with(record, key, label, replace_felt(before, key, label, word)), _where(lesson, place, label)


def replace_felt(before: TaskResult | None, key: RoundKey, label: str, word: str) -> TaskResult | None:
    """The result with another word, or None where nothing is left to say."""
    if before is None:
        return TaskResult(key, label, word) if word else None
    return replace(before, felt=word) if word or before.tries else None


def counted(
    record: ClassRecord, lesson: int, place: int, were: Mapping[str, Counted], now: Mapping[str, Counted]
) -> Done:
    """Successes of attempts as they were typed, by group; only what is other than the page showed counts as typed.

    Raises
    ------
    InputError
        A group has one number of the two, or numbers that cannot be.
    """
    key = key_of(record, lesson, place)
    typed = {label: fields for label, fields in now.items() if fields != were.get(label)}
    if not typed:
        raise InputError("no number is new; type successes and attempts of a group first")
    for label, (hits, tries) in typed.items():
        before = result_of(record, key, label)
        record = _with(record, key, label, _with_numbers(before, key, label, hits, tries))
    return record, f"successes counted in round {place} of lesson {lesson}"


def _with_numbers(before: TaskResult | None, key: RoundKey, label: str, hits: str, tries: str) -> TaskResult | None:
    said, step = (before.felt, before.step) if before else ("", None)
    if not hits and not tries:
        return TaskResult(key, label, said, step=step) if said else None
    return TaskResult(key, label, said, _number(label, hits), _number(label, tries), step)


def _number(label: str, text: str) -> int:
    if text.isascii() and text.isdecimal() and len(text) < 5:
        return int(text)
    wrong = f"'{text}' is no number" if text else "successes and attempts go together"
    raise InputError(f"group {label}: {wrong}; write both, such as 7 of 10; nothing was saved")


def _with(record: ClassRecord, key: RoundKey, label: str, result: TaskResult | None) -> ClassRecord:
    if result is not None:
        return went(record, result)
    before = result_of(record, key, label)
    return unseen(record, before) if before else record


def _where(lesson: int, place: int, label: str) -> str:
    return f"how round {place} of lesson {lesson} went for group {label}"


def result_of(record: ClassRecord, key: RoundKey, label: str) -> TaskResult | None:
    """What was seen of a group in a round, or None."""
    return next((result for result in record.results if (result.key, result.label) == (key, label)), None)


def key_of(record: ClassRecord, lesson: int, place: int) -> RoundKey:
    """The round at a place of the lesson (InputError where there is none)."""
    keys = record.lesson(lesson).keys
    if not 1 <= place <= len(keys):
        raise InputError(f"lesson {lesson} has rounds 1 to {len(keys)}, not {place}")
    return keys[place - 1]
