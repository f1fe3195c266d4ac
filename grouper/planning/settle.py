"""What a search leaves open, settled round by round: gap windows beside a trio, requests where groups stay."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.board import Board
from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.planning.mending import breaks_hard_rule, groups_that_stay, mended_groups
from grouper.planning.turns import with_roles


def settled(problem: Problem, board: Board, plan: Plan) -> Plan:
    """The plan with every round that breaks a hard rule mended, and the rounds that stay with it alike.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        A round cannot keep all hard wishes, or no way was found in time.
    """
    mended = plan
    for spec in problem.rounds:
        if spec.fixed is not None:
            continue
        groups = groups_that_stay(problem, spec, mended) or mended.by_key[spec.key].groups
        if breaks_hard_rule(problem, spec, groups):
            groups = mended_groups(problem, board, spec, mended)
        if groups != mended.by_key[spec.key].groups:
            mended = mended.with_rounds({spec.key: replace(mended.by_key[spec.key], groups=groups)})
    return plan if mended is plan else _as_planned(problem, with_roles(problem, mended))


def _as_planned(problem: Problem, plan: Plan) -> Plan:
    free = (plan.by_key[spec.key] for spec in problem.rounds if spec.fixed is None)
    return plan.with_rounds({round_.key: replace(round_, planned=round_.groups) for round_ in free})
