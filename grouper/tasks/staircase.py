"""One move of the staircase: from what was seen at a step to where the group stands on the ladder then.

The rule is the weighted up-down method of Kaernbach (1991, Simple adaptive testing with the weighted up-down method,
Perception & Psychophysics 49:227-229; from memory): a success moves up, a failure moves down, and the two moves are to
each other as failures to successes at the wanted share, so that the wanted share is where they balance. For three of
four a failure weighs as much as three successes. Unlike the transformed rules of Levitt (1971, JASA 49:467-477; from
memory), which hold 70.7 % or 79.4 %, it has a balance for any share.

A move of ``GAIN x (seen - expected)`` is that rule, summed over the attempts of a round, wherever the group worked at
just the step that is right for it. Where it worked at another, as steps are whole and teachers choose, the model says
what was to be expected there, so that no group goes up for being strong at a task that was too easy for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

from grouper.learning.taps import FELT_SHIFT
from grouper.model.task_result import TaskResult
from grouper.tasks.response import success_at

GAIN = 3.0
"""Steps for a whole share: where three of four were expected and all succeed, it is three quarters of a step, and where
half succeed, three quarters back. Chosen by simulation (docs/quality/tasks.md)."""

FEW_TRIES = 2.0
"""So many attempts count half of what very many count."""

MOST = 1.0
"""A round moves nobody by more than a step."""


@dataclass(frozen=True)
class Sight:
    """What was seen: the share of attempts that succeeded, and how much it counts, from 0 to 1."""

    share: float
    weight: float


def sight_of(result: TaskResult, success: float) -> Sight:
    """What a result says; counted attempts go before the quick word, which stands for a share of its own.

    ``success`` is the share that is wanted: 'right' says that it was reached, 'easy' and 'hard' that the share was well
    above and well below it (0.93 and 0.40 where 0.75 is wanted), as for ratings.
    """
    if result.tries and result.hits is not None:
        return Sight(result.hits / result.tries, result.tries / (result.tries + FEW_TRIES))
    logit = log(success / (1 - success)) + FELT_SHIFT[result.felt]
    return Sight(1 / (1 + exp(-logit)), 1.0)


def move(ability: float, step: int, sight: Sight) -> float:
    """How far a group of this ability moves, in steps, for what was seen at a step.

    Examples
    --------
    >>> from grouper.tasks.response import ability_for
    >>> level = ability_for(0.75, 3)
    >>> round(move(level, 3, Sight(1.0, 1.0)), 9), round(move(level, 3, Sight(0.75, 1.0)), 9)
    (0.75, 0.0)
    """
    wanted = GAIN * sight.weight * (sight.share - success_at(ability, step))
    return min(MOST, max(-MOST, wanted))
