"""After a change: improve the lessons to come, from how they stand."""

from __future__ import annotations

from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.compare import changes_between
from grouper.planning.plan import plan_unit
from grouper.planning.repair import Repair


def improve_rest(record: ClassRecord, after: int, effort: str = "quick") -> Repair:
    """The lessons after lesson ``after`` that are neither taught nor pinned, improved; never worse than they stand."""
    free = frozenset(_open_rounds(record, after))
    if not free:
        return Repair(record)
    improved = plan_unit(record, effort=effort, free=free).record
    return Repair(improved, changes_between(record.plan, improved.plan))


def _open_rounds(record: ClassRecord, after: int) -> list[RoundKey]:
    return [
        round_.key
        for round_ in record.plan.rounds
        if round_.key.lesson > after and round_.key.lesson not in record.taught and not round_.pinned
    ]
