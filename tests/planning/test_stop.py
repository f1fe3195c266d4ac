"""Whoever watches is heard in every part of the search, schedules from algebra included."""

from __future__ import annotations

from builders import class_of, pairs, record_of, roster_of

from grouper.model.unit import Activity
from grouper.planning.plan import plan_unit


def test_a_stop_is_heard_while_seats_of_a_schedule_are_exchanged() -> None:
    """Told to stop at a twentieth, the search ends there and then, though its first half works on a schedule alone."""
    asked: list[float] = []

    def watch(share: float, cost: float) -> bool:
        asked.append(share)
        return share < 0.05

    threes = Activity("Threes", "balanced", size=3, strand="passing")
    record = record_of(roster_of(27, [1 + place % 5 for place in range(27)]), threes, lessons=9)
    outcome = plan_unit(record, effort="quick", watch=watch)
    assert outcome.stopped
    assert asked[-1] < 0.06
    assert asked[:-1] == sorted(asked[:-1])


def test_shares_only_grow_and_costs_only_fall() -> None:
    """Over all engines, up to nearly the whole."""
    told: list[tuple[float, float]] = []

    def watch(share: float, cost: float) -> bool:
        told.append((share, cost))
        return True

    plan_unit(class_of(13, pairs(rounds=9)), effort="quick", watch=watch)
    assert told == sorted(told, key=lambda each: (each[0], -each[1]))
    assert [cost for _, cost in told] == sorted((cost for _, cost in told), reverse=True)
