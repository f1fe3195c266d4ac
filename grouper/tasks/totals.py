"""Points of a class together, and of somebody against their own last time: forms in which nobody is ranked."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.words import folded


def class_totals(record: ClassRecord, activity: str) -> dict[int, int]:
    """All points of the class in an activity by lesson, net, of groups and of games; lessons without any are left out.

    It is a sum and nobody's: no group or team can be read off it.
    """
    totals: dict[int, int] = {}
    for lesson, points in _points(record, folded(activity)):
        totals[lesson] = totals.get(lesson, 0) + points
    return dict(sorted(totals.items()))


def _points(record: ClassRecord, wanted: str) -> Iterator[tuple[int, int]]:
    for result in record.results:
        known = result.key in record.unit.keys and folded(record.unit.activity(result.key).name) == wanted
        if known and result.net is not None:
            yield result.key.lesson, result.net
    for event in record.games:
        if folded(event.activity) == wanted:
            yield from ((event.lesson, sum(game.score.net)) for game in event.scored if game.score)


def last_total(record: ClassRecord, activity: str, lesson: int) -> int | None:
    """The total of the last lesson before this one in which the class had one; None where it had none."""
    before = [total for at, total in class_totals(record, activity).items() if at < lesson]
    return before[-1] if before else None


def own_last(record: ClassRecord, key: RoundKey, student: str) -> int | None:
    """What the student's group had when they last did this activity before a round; None where nothing was counted."""
    wanted = folded(record.unit.activity(key).name)
    for result in reversed(record.results):
        if result.key >= key or result.net is None or result.key not in record.unit.keys:
            continue
        round_ = record.plan.by_key.get(result.key)
        group = round_.group_of(student) if round_ else None
        same = folded(record.unit.activity(result.key).name) == wanted
        if same and group and group.label == result.label:
            return result.net
    return None
