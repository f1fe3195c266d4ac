"""Annealing: one loop for all searches that cool, how they cool, and telling somebody who watches; they may stop it.

Kirkpatrick, Gelatt & Vecchi 1983, "Optimization by Simulated Annealing". What a step is, and how the next neighbour is
drawn, is each search's own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from grouper.engines.seating import Seating

Watch = Callable[[float, float], bool]
"""Told the share of the budget that is used and the best cost so far; answers whether to go on."""

HALF = 0.5
"""Costs are whole numbers: less than a half is no difference."""

POOL = 1 << 16
"""Draws of noise made beforehand: a step takes a stretch of them from anywhere."""

STAGES = 200
"""Of cooling; whoever watches is told between two of them."""


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


@dataclass(frozen=True)
class Cooling:
    """How the temperature falls, in units of what one repeat costs: slowly from warm to cool, then fast to cold.

    Most classes freeze between 0.35 and 0.2 (``docs/quality/solver.md``): that is where the time is spent.
    """

    warm: float = 0.45
    cool: float = 0.2
    cold: float = 0.01
    slow_share: float = 0.85

    def at(self, share: float) -> float:
        """The temperature when this share of the budget is used."""
        if share < self.slow_share:
            return float(self.warm * (self.cool / self.warm) ** (share / self.slow_share))
        rest = (share - self.slow_share) / (1 - self.slow_share)
        return float(self.cool * (self.cold / self.cool) ** rest)


class Search(Protocol):
    """What anneals: it remembers the best seating, and makes the steps of a stage."""

    best: Seating

    def stage(self, share: float, steps: range, enough: float) -> None:
        """Make these steps, numbered through the whole search, of which ``share`` is done.

        May end them as soon as the best cost is down to ``enough``.
        """


def anneal(search: Search, steps: int, enough: float, watch: Watch) -> Seating:
    """The best seating that a search finds in so many steps.

    Stops as soon as its cost is down to ``enough``, or when ``watch`` says so.
    """
    for stage in range(STAGES):
        share = stage / STAGES
        if search.best.cost <= enough + HALF or not watch(share, search.best.cost):
            break
        search.stage(share, range(steps * stage // STAGES, steps * (stage + 1) // STAGES), enough)
    return search.best
