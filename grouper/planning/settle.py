"""What a search leaves open, settled round by round: gap windows beside a trio, requests where groups stay."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.board import Board
from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.planning.mending import breaks_hard_rule, groups_that_stay, mended_groups
from grouper.planning.roles import with_roles


def settled(problem: Problem, board: Board, plan: Plan) -> Plan:
    """The plan with every round that breaks a hard rule mended, and the rounds that stay with it alike.

    Raises
    ------
    ImpossibleError, OutOfTimeError
        A round cannot keep all hard wishes, or no way was found in time.
    """
    mended = plan
    for need in problem.needs:
        if need.fixed is not None:
            continue
        groups = groups_that_stay(problem, need, mended) or mended.by_key[need.key].groups
        if breaks_hard_rule(problem, need, groups):
            groups = mended_groups(problem, board, need, mended)
        if groups != mended.by_key[need.key].groups:
            mended = mended.with_rounds({need.key: replace(mended.by_key[need.key], groups=groups)})
    return plan if mended is plan else _as_planned(problem, with_roles(problem, mended))


def _as_planned(problem: Problem, plan: Plan) -> Plan:
    free = (plan.by_key[need.key] for need in problem.needs if need.fixed is None)
    return plan.with_rounds({round_.key: replace(round_, planned=round_.groups) for round_ in free})
