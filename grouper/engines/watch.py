"""Telling somebody who watches how far a search has come; they may stop it."""

from __future__ import annotations

from collections.abc import Callable

Watch = Callable[[float, float], bool]
"""Told the share of the budget that is used and the best cost so far; answers whether to go on."""


def always(share: float, cost: float) -> bool:
    """Nobody watches: go on."""
    return True


def part_of(watch: Watch, low: float, high: float, known: float = float("inf")) -> Watch:
    """What a part of a search tells: its share stands for ``low`` to ``high`` of the whole.

    Seats that cost ``known`` are there already, so that no more than that is told.

    Examples
    --------
    >>> told = []
    >>> part_of(lambda share, cost: told.append((share, cost)) or True, 0.5, 1.0, known=9)(0.5, 12)
    True
    >>> told
    [(0.75, 9)]
    """
    return lambda share, cost: watch(low + (high - low) * share, min(cost, known))
