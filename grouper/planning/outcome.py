"""How long a plan is looked for, and what planning answers: the plan, how it is judged, and what no plan can beat."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.engines.board import Board
from grouper.engines.bounds import Bounds
from grouper.engines.wide import is_wide
from grouper.errors import InputError
from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.model.record import ClassRecord
from grouper.rules.referee import Judgement

STEPS = {"quick": 40_000, "usual": 220_000, "thorough": 1_000_000}
"""Scorings of a round for a class of USUAL_CLASS: about half a second, three seconds, fifteen on a school laptop."""

WIDE_STEPS = {"quick": 80, "usual": 300, "thorough": 1_500}
"""Scorings for each round of a wide board; each looks at some fifty people, so that the work grows with people."""

USUAL_CLASS = 30
SMALL_CLASS = 24
FEWEST_SCORINGS = 8_000


def scorings_for(effort: str, board: Board) -> int:
    """The budget for a board: the more people, the longer a scoring takes, so a larger class gets fewer of them.

    A wide board gets so many for each round that is free.

    Raises
    ------
    InputError
        The effort is none of quick, usual, thorough.
    """
    if effort not in STEPS:
        raise InputError("'{effort}' is no effort", "use {steps}", effort=effort, steps=", ".join(STEPS))
    if is_wide(board):
        return WIDE_STEPS[effort] * len(board.free)
    share = (USUAL_CLASS / max(board.size, SMALL_CLASS)) ** 1.5
    return max(FEWEST_SCORINGS, int(STEPS[effort] * share))


@dataclass(frozen=True)
class Outcome:
    """A plan with its proof.

    Parameters
    ----------
    record
        The class with the plan in it.
    problem
        What was asked.
    judgement
        The referee's.
    bounds
        For the same rounds.
    engine
        Which engine made it.
    stopped
        Whether the search was stopped before its budget was used up.
    """

    record: ClassRecord
    problem: Problem
    judgement: Judgement
    bounds: Bounds
    engine: str
    stopped: bool = False

    @property
    def plan(self) -> Plan:
        """The plan of the whole unit."""
        return self.record.plan
