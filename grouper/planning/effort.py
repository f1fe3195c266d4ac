"""How much work goes into a plan: counted in steps of the search, never in seconds, so that plans can be repeated."""

from __future__ import annotations

from grouper.engines.board import Board
from grouper.engines.wide import is_wide
from grouper.errors import InputError

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
