"""Whoever watches a plan in the making hears of it as soon as there are groups, and may be content with them."""

from __future__ import annotations

from any_problem import records
from builders import class_of, pairs
from hypothesis import given, settings

from grouper.errors import ImpossibleError, OutOfTimeError
from grouper.model.record import ClassRecord
from grouper.planning.plan import plan_unit


def test_the_first_report_comes_before_the_search() -> None:
    """Share 0, with the cost of the groups to start from; what follows never costs more."""
    reports: list[tuple[float, float]] = []

    def watch(share: float, cost: float) -> bool:
        reports.append((share, cost))
        return True

    plan_unit(class_of(13, pairs(9)), effort="quick", watch=watch)
    assert reports[0][0] == 0.0 and len(reports) > 1
    assert all(cost <= reports[0][1] for _, cost in reports)


@given(records(fewest=3, most=9))
@settings(max_examples=25, deadline=None)
def test_stopped_at_once_it_is_a_whole_plan(record: ClassRecord) -> None:
    """Every round has its groups, the referee accepts them (else planning would raise), and the outcome says it."""
    try:
        outcome = plan_unit(record, effort="quick", watch=lambda share, cost: False)
    except (ImpossibleError, OutOfTimeError):
        return
    assert outcome.stopped and outcome.judgement.accepted
    assert {round_.key for round_ in outcome.record.plan.rounds} >= set(record.unit.keys)
