"""Exchange search: two people of one round swap groups, and all swaps of a round are scored at once.

Annealing by heat bath (Kirkpatrick, Gelatt & Vecchi 1983, "Optimization by Simulated Annealing"; the choice among
all swaps at once as in Bortz, Kalos & Lebowitz 1975, "A new algorithm for Monte Carlo simulation of Ising spin
systems"): rounds take turns, and in each one of all its swaps is drawn, a swap that costs d more with a weight of
exp(-d / temperature). The draw is made by adding Gumbel noise to the scores and taking the best (Gumbel 1954,
"Statistical Theory of Extreme Values").

One scoring costs O(people x (people + groups)); the budget is counted in scorings, never in seconds.
"""

from __future__ import annotations

import numpy as np

from grouper.engines.annealing import HALF, POOL, Cooling, Watch, always, anneal
from grouper.engines.board import Board, Seats
from grouper.engines.seating import Seating
from grouper.engines.state import State

AT_ONCE = 4
"""So many rounds are scored at once: most of the time goes into calling numpy, not into its work."""

TOO_HOT, HURRY = 0.92, 5
"""Where more than this share of the steps of a stage swap somebody, the next stage has only a fifth of its steps."""


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
    search = _Search(State(board, seats), rng, cooling or Cooling())
    return anneal(search, search.steps(scorings), enough, watch or always)


class _Search:
    """Annealing from a state.

    A step looks at a few rounds side by side and draws one of their swaps, or none. The noise is drawn once and
    stretched to the temperature, which is that of the stage.
    """

    def __init__(self, state: State, rng: np.random.Generator, cooling: Cooling) -> None:
        self.state = state
        self.rng = rng
        self.cooling = cooling
        self.best = state.seating()
        people, moving = state.board.size, state.moving
        self.width = max(1, min(moving, AT_ONCE))
        self.hot = False
        # A stretch of it may begin at the last draw of the pool.
        self.noise = rng.gumbel(size=POOL + self.width * people**2)

    def steps(self, scorings: int) -> int:
        """How many steps so many scorings of a round are."""
        return -(-scorings // self.width) if self.state.moving else 0

    def stage(self, share: float, steps: range, enough: float) -> None:
        """Steps at one temperature; a stage after one in which nearly every step swapped somebody is hurried through.

        There the seats are as good as drawn at random, however long it goes on.
        """
        wanted = -(-len(steps) // HURRY) if self.hot else len(steps)
        made = self._stage(wanted, self.state.board.usual_repeat * self.cooling.at(share), enough)
        self.hot = made > TOO_HOT * wanted

    def _stage(self, steps: int, temperature: float, enough: float) -> int:
        """Steps at one temperature, and how many swaps were made; one is where it wins the draw against no swap at all.

        A round must be able to rest even where a swap costs nothing: else all rounds of a small class change in step
        for ever, and what needs one of them to wait is never found.
        """
        noise, made = temperature * self.noise, 0
        starts = self.rng.integers(POOL, size=steps).tolist()
        none = self._rests(temperature, steps)
        # Windows stick out at both ends: else the first rounds and the last would be looked at less often.
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
        # Copied only where it is better: most swaps are not, and a copy takes as long as a swap.
        if self.state.cost < self.best.cost - HALF:
            self.best = self.state.seating()
