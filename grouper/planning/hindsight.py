"""What could have been: the bounds that a plan is measured by."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.bounds import Bounds, bounds_of
from grouper.engines.proof import proven_bounds
from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan
from grouper.model.problem import Need, Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.planning.boards import board_for
from grouper.rules.referee import judge


def hindsight(record: ClassRecord, prove: bool = False) -> Bounds:
    """What no plan could have beaten for the rounds of a record, with the students and group sizes that they had.

    Rounds that were taught count as free here, unlike in ``fairness_of``: there they are as they are, and a bound that
    takes them as given cannot say how good they were. By counting, in a blink; with ``prove`` also by exact cover where
    the class is small, which can take seconds and may give a higher bound.
    """
    board = board_for(answered(in_hindsight(record), record.plan))
    return proven_bounds(board, ledger_of(record.plan.rounds).meeting_cost) if prove else bounds_of(board)


def in_hindsight(record: ClassRecord) -> Problem:
    """The problem that the rounds of a record posed, with the students and group sizes that they had."""
    settled = problem_of(record, frozenset())
    return replace(settled, needs=tuple(replace(need, fixed=None) for need in settled.needs))


def answered(problem: Problem, plan: Plan) -> Problem:
    """The problem that a plan really answers, so that what no plan can beat holds for this plan as well.

    A plan that was changed by hand, or is older than the roster or the requests, differs from what would be asked for
    today. Its own people and sizes count in every round, groups stay only where they did, and what it breaks anywhere
    is not asked for. Rounds without groups are left out.
    """
    needs = tuple(_answered(need, plan) for need in problem.needs if need.key in plan.by_key)
    settled = tuple(replace(need, fixed=plan.by_key[need.key]) for need in needs)
    breaches = judge(replace(problem, needs=settled), plan).breaches
    broken, keys = {frozenset(breach.students) for breach in breaches}, {breach.key for breach in breaches}
    kept = tuple(request for request in problem.requests if frozenset(request.pair) not in broken)
    eased = tuple(_any_groups(need) if need.key in keys and need.activity.aim == "coaching" else need for need in needs)
    return replace(problem, needs=eased, requests=kept)


def _answered(need: Need, plan: Plan) -> Need:
    if need.fixed is not None:
        return need
    round_ = plan.by_key[need.key]
    there = set(round_.students)
    students = need.students if there == set(need.students) else tuple(sorted(there))
    own = replace(need, students=students, sizes=round_.sizes)
    leader = plan.by_key.get(need.leader) if need.leader else None
    if need.activity.aim != "stay" or (leader and leader.as_sets == round_.as_sets):
        return own
    return _any_groups(own)


def _any_groups(need: Need) -> Need:
    """The need without anything that its activity asks of who is with whom."""
    largest = max(need.sizes, default=1)
    return replace(need, activity=replace(need.activity, aim="fresh", size=largest, groups=None), leader=None)
