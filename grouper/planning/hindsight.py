"""What could have been: bounds for rounds that are over, as if none of their groups were settled yet."""

from __future__ import annotations

from dataclasses import replace

from grouper.engines.bounds import Bounds, bounds_of
from grouper.engines.proof import proven_bounds
from grouper.model.ledger import ledger_of
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.planning.boards import board_for


def hindsight(record: ClassRecord, prove: bool = False) -> Bounds:
    """What no plan could have beaten for the rounds of a record, with the students and group sizes that they had.

    Rounds that were taught count as free here, unlike in ``fairness_of``: there they are as they are, and a bound that
    takes them as given cannot say how good they were. By counting, in a blink; with ``prove`` also by exact cover where
    the class is small, which can take seconds and may give a higher bound.
    """
    board = board_for(in_hindsight(record))
    return proven_bounds(board, ledger_of(record.plan.rounds).meeting_cost) if prove else bounds_of(board)


def in_hindsight(record: ClassRecord) -> Problem:
    """The problem that the rounds of a record posed, with the students and group sizes that they had."""
    settled = problem_of(record, frozenset())
    return replace(settled, needs=tuple(replace(need, fixed=None) for need in settled.needs))
