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

POOL = 1 << 16

AT_ONCE = 4
"""So many rounds are scored at once: most of the time goes into calling numpy, not into its work."""

STAGES = 200
"""Of cooling; whoever watches is told between two of them."""

TOO_HOT, HURRY = 0.92, 5
"""Where more than this share of the steps of a stage swap somebody, the next stage has only a fifth of its steps."""


@dataclass(frozen=True)
class Cooling:
    """How the temperature falls, in units of what one repeat costs: slowly from warm to cool, then fast to cold."""

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
    """Annealing from a state.

    A step looks at a few rounds side by side and draws one of their swaps, or none. The noise is drawn once and
    stretched to the temperature, which falls in ``STAGES`` stages.
    """

    def __init__(self, state: State, scorings: int, rng: np.random.Generator, cooling: Cooling) -> None:
        self.state = state
        self.rng = rng
        self.cooling = cooling
        self.best = state.seating()
        people, moving = state.board.size, state.moving
        self.width = max(1, min(moving, AT_ONCE))
        self.steps = -(-scorings // self.width) if moving else 0
        self.noise = rng.gumbel(size=POOL + self.width * people**2)

    def run(self, enough: float, watch: Watch) -> Seating:
        hot = False
        for stage in range(STAGES):
            share = stage / STAGES
            if self.best.cost <= enough + HALF or not watch(share, self.best.cost):
                break
            steps = self.steps * (stage + 1) // STAGES - self.steps * stage // STAGES
            steps = -(-steps // HURRY) if hot else steps
            made = self._stage(steps, self.state.board.repeat * self.cooling.at(share), enough)
            hot = made > TOO_HOT * steps
        return self.best

    def _stage(self, steps: int, temperature: float, enough: float) -> int:
        """Steps at one temperature, and how many swaps were made; one is where it wins the draw against no swap at all.

        A round must be able to rest even where a swap costs nothing: else all rounds of a small class change in step
        for ever, and what needs one of them to wait is never found.
        """
        noise, made = temperature * self.noise, 0
        starts = self.rng.integers(POOL, size=steps).tolist()
        none = self._rests(temperature, steps)
        places = self.rng.integers(1 - self.width, self.state.moving, size=steps).tolist()
        people, changes, moving = self.state.board.size, self.state.changes, self.state.moving
        for start, rest, place in zip(starts, none, places, strict=True):
            low, high = max(0, place), min(moving, place + self.width)
            scores = changes(low, high)
            drawn = scores - noise[start : start + scores.size].reshape(high - low, people, people)
            winner = int(drawn.argmin())
            if drawn.item(winner) >= rest:
                continue
            self._make(low, winner, scores.item(winner))
            made += 1
            if self.best.cost <= enough + HALF:
                break
        return made

    def _rests(self, temperature: float, steps: int) -> list[float]:
        """What making no swap draws, step by step: the best swap is made where it draws less."""
        rests: list[float] = (-temperature * self.rng.gumbel(size=steps)).tolist()
        return rests

    def _make(self, place: int, winner: int, change: float) -> None:
        """Make a swap, the number of which counts through the blocks that were looked at."""
        people = self.state.board.size
        block, pair = divmod(winner, people * people)
        one, other = divmod(pair, people)
        self.state.swap(self.state.order[place + block], one, other, change)
        if self.state.cost < self.best.cost - HALF:
            self.best = self.state.seating()
