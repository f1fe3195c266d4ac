"""What could have been: the bounds that a plan is measured by."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.bounds import Bounds, bounds_of
from grouper.engines.proof import proven_bounds
from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan
from grouper.model.problem import Problem, RoundSpec, problem_of
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
    return replace(settled, rounds=tuple(replace(spec, fixed=None) for spec in settled.rounds))


def answered(problem: Problem, plan: Plan) -> Problem:
    """The problem that a plan really answers, so that what no plan can beat holds for this plan as well.

    A plan that was changed by hand, or is older than the roster or the requests, differs from what would be asked for
    today. Its own people and sizes count in every round, groups stay only where they did, and what it breaks anywhere
    is not asked for. Rounds without groups are left out.
    """
    specs = tuple(_answered(spec, plan) for spec in problem.rounds if spec.key in plan.by_key)
    settled = tuple(replace(spec, fixed=plan.by_key[spec.key]) for spec in specs)
    breaches = judge(replace(problem, rounds=settled), plan).breaches
    broken, keys = {frozenset(breach.students) for breach in breaches}, {breach.key for breach in breaches}
    kept = tuple(request for request in problem.requests if frozenset(request.pair) not in broken)
    eased = tuple(_any_groups(spec) if spec.key in keys and spec.activity.aim == "coaching" else spec for spec in specs)
    return replace(problem, rounds=eased, requests=kept)


def _answered(spec: RoundSpec, plan: Plan) -> RoundSpec:
    if spec.fixed is not None:
        return spec
    round_ = plan.by_key[spec.key]
    there = set(round_.students)
    students = spec.students if there == set(spec.students) else tuple(sorted(there))
    own = replace(spec, students=students, sizes=round_.sizes)
    leader = plan.by_key.get(spec.leader) if spec.leader else None
    if spec.activity.aim != "stay" or (leader and leader.as_sets == round_.as_sets):
        return own
    return _any_groups(own)


def _any_groups(spec: RoundSpec) -> RoundSpec:
    """The round without anything that its activity asks of who is with whom."""
    largest = max(spec.sizes, default=1)
    return replace(spec, activity=replace(spec.activity, aim="fresh", size=largest, groups=None), leader=None)
