"""Improve rounds from how they stand: the lessons to come, or all of one lesson, where moves do not matter."""

from __future__ import annotations

from collections.abc import Callable

from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.compare import changes_between
from grouper.planning.plan import plan_unit
from grouper.planning.repair import Repair


def improve_rest(record: ClassRecord, after: int, effort: str = "quick") -> Repair:
    """The lessons after lesson ``after`` that are neither taught nor pinned, improved; never worse than they stand."""
    return _improved(record, lambda key: key.lesson > after, effort)


def improve_lesson(record: ClassRecord, lesson: int, since: int = 1, effort: str = "quick") -> Repair:
    """The rounds of a lesson from its round ``since`` on, made as good as can be, whoever has to move."""
    return _improved(record, lambda key: key.lesson == lesson and record.place_in_lesson(key) >= since, effort)


def _improved(record: ClassRecord, meant: Callable[[RoundKey], bool], effort: str) -> Repair:
    free = frozenset(
        round_.key
        for round_ in record.plan.rounds
        if round_.key.lesson not in record.taught
        and not round_.pinned
        and not record.has_begun(round_.key)
        and meant(round_.key)
    )
    if not free:
        return Repair(record)
    improved = plan_unit(record, effort=effort, free=free).record
    return Repair(improved, changes_between(record.plan, improved.plan))
