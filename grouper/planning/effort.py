"""How much work goes into a plan: counted in steps of the search, never in seconds, so that plans can be repeated."""

from __future__ import annotations

from grouper.errors import InputError

STEPS = {"quick": 8_000, "usual": 40_000, "thorough": 200_000}
"""Scorings of a round for a class of USUAL_CLASS: about half a second, three seconds, fifteen on a school laptop."""

USUAL_CLASS = 30
FEWEST_SCORINGS = 1_500


def scorings_for(effort: str, people: int) -> int:
    """The budget for a class: a scoring costs people squared, so a larger class gets fewer of them.

    Raises
    ------
    InputError
        The effort is none of quick, usual, thorough.
    """
    if effort not in STEPS:
        raise InputError(f"'{effort}' is no effort; use {', '.join(STEPS)}")
    share = (USUAL_CLASS / max(people, USUAL_CLASS)) ** 2
    return max(FEWEST_SCORINGS, round(STEPS[effort] * share))
