"""How likely an attempt succeeds at a step of a ladder: a logistic curve of ability against the step.

The form is that of Rasch (1960, Probabilistic Models for Some Intelligence and Attainment Tests; from memory). The
unit is a step: abilities and steps stand on one line, and where they are level every other attempt succeeds.
"""

from __future__ import annotations

from math import exp, floor, log

LOGIT_PER_STEP = log(2)
"""A step halves the odds: three of four at one step are six of ten at the next. An assumption of ours; results put a
student right where the steps of a ladder are wider or narrower."""


def success_at(ability: float, step: float) -> float:
    """The chance that an attempt at a step succeeds.

    Examples
    --------
    >>> success_at(2, 2), round(success_at(3, 2), 3)
    (0.5, 0.667)
    """
    return 1 / (1 + exp(-LOGIT_PER_STEP * (ability - step)))


def ability_for(success: float, step: float) -> float:
    """The ability with which so large a share of attempts at a step succeeds; ``success_at`` the other way round.

    Examples
    --------
    >>> round(success_at(ability_for(0.75, 4), 4), 9)
    0.75
    """
    return step + log(success / (1 - success)) / LOGIT_PER_STEP


def step_for(ability: float, success: float, steps: int) -> int:
    """The step, from 1, with the predicted success nearest to the share that is wanted; of two as near the easier.

    Examples
    --------
    >>> step_for(ability_for(0.75, 3), 0.75, 6), step_for(99, 0.75, 6)
    (3, 6)
    """
    right = floor(ability - ability_for(success, 0))
    beside = (min(steps, max(1, step)) for step in (right, right + 1))
    return min(beside, key=lambda step: (round(abs(success_at(ability, step) - success), 12), step))
