"""Exchange search: two people of one round swap groups, and all swaps of a round are scored at once.

Annealing by heat bath (Kirkpatrick, Gelatt & Vecchi 1983, "Optimization by Simulated Annealing"; the choice among
all swaps at once as in Bortz, Kalos & Lebowitz 1975, "A new algorithm for Monte Carlo simulation of Ising spin
systems"): rounds take turns, and in each one of all its swaps is drawn, a swap that costs d more with a weight of
exp(-d / temperature). The draw is made by adding Gumbel noise to the scores and taking the best (Gumbel 1954,
"Statistical Theory of Extreme Values").

One scoring costs O(people x (people + groups)); the budget is counted in scorings, never in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from grouper.engines.board import Board, Seats
from grouper.engines.seating import Seating
from grouper.engines.state import State
from grouper.engines.watch import Watch, always

HALF = 0.5
"""Costs are whole numbers: less than a half is no difference."""

POOL = 1 << 17
WATCHED_EVERY = 128


@dataclass(frozen=True)
class Cooling:
    """How the temperature falls, in units of what one repeat costs: slowly from warm to cool, then fast to cold."""

    warm: float = 0.28
    cool: float = 0.08
    cold: float = 0.004
    slow_share: float = 0.85

    def at(self, share: float) -> float:
        """The temperature when this share of the budget is used."""
        if share < self.slow_share:
            return float(self.warm * (self.cool / self.warm) ** (share / self.slow_share))
        rest = (share - self.slow_share) / (1 - self.slow_share)
        return float(self.cool * (self.cold / self.cool) ** rest)


def improve(
    board: Board,
    seats: Seats,
    scorings: int,
    rng: np.random.Generator,
    enough: float = 0.0,
    watch: Watch | None = None,
    cooling: Cooling | None = None,
) -> Seating:
    """The best seating that exchange search finds from ``seats`` (blocks x people) in so many scorings of a block.

    Stops as soon as the cost is down to ``enough``, or when ``watch`` says so.
    """
    search = _Search(State(board, seats), scorings, rng, cooling or Cooling())
    return search.run(enough, watch or always)


class _Search:
    def __init__(self, state: State, scorings: int, rng: np.random.Generator, cooling: Cooling) -> None:
        self.state = state
        self.scorings = scorings
        self.rng = rng
        self.cooling = cooling
        self.best = state.seating()
        self.free = [number for number in state.board.free if len(state.board.blocks[number].sizes) > 1]
        self.noise = rng.gumbel(size=POOL + state.board.size**2)

    def run(self, enough: float, watch: Watch) -> Seating:
        for step in range(self.scorings if self.free else 0):
            share = step / self.scorings
            if self.best.cost <= enough + HALF or (step % WATCHED_EVERY == 0 and not watch(share, self.best.cost)):
                break
            self._turn(self.free[step % len(self.free)], self.state.board.repeat * self.cooling.at(share))
        return self.best

    def _turn(self, number: int, temperature: float) -> None:
        changes = self.state.swap_changes(number)
        start = int(self.rng.integers(POOL))
        noise = self.noise[start : start + changes.size].reshape(changes.shape)
        drawn = changes - temperature * noise
        place = int(drawn.argmin())
        one, other = divmod(place, changes.shape[1])
        change = float(changes[one, other])
        if change < np.inf and self._outdraws_rest(float(drawn[one, other]), temperature):
            self._make(number, one, other, change)

    def _outdraws_rest(self, drawn: float, temperature: float) -> bool:
        """Whether the swap wins the draw against no swap at all.

        A round must be able to rest even where a swap costs nothing: else all rounds of a small class change in step
        for ever, and what needs one of them to wait is never found.
        """
        return drawn < -temperature * float(self.rng.gumbel())

    def _make(self, number: int, one: int, other: int, change: float) -> None:
        self.state.swap(number, one, other, change)
        if self.state.cost < self.best.cost - HALF:
            self.best = self.state.seating()
