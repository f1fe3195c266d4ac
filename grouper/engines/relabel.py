"""Relabelling: a schedule without repeats is kept, and its seats are given to students so that all else comes right.

Swapping two students' seats in all rounds at once keeps a schedule free of repeats, as does taking another of its
rounds that is not in use. So requests, gaps, even teams and meetings of other rounds are all that is left to search
for. The search is annealing by heat bath as in ``exchange``, over whole seats instead of one round's.

A step costs as many scorings as there are rounds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from grouper.engines.board import NOWHERE, Board, Floats, Seats
from grouper.engines.designs import Design, repeat_free_rounds
from grouper.engines.exchange import HALF, Cooling
from grouper.engines.seating import Seating, turn_cost
from grouper.engines.state import State


@dataclass(frozen=True)
class Family:
    """Free blocks with the same people and the same sizes, and the longest schedule without repeats for them."""

    blocks: tuple[int, ...]
    design: Design


def families(board: Board) -> tuple[Family, ...]:
    """The families of a board with two blocks or more, the largest first."""
    alike: dict[tuple[bytes, tuple[int, ...]], list[int]] = {}
    for number in board.free:
        block = board.blocks[number]
        if len(block.sizes) > 1 and block.sizes[0] > 1:
            alike.setdefault((block.people.tobytes(), block.sizes), []).append(number)
    return tuple(sorted(_with_designs(alike), key=lambda family: -len(family.blocks)))


def _with_designs(alike: dict[tuple[bytes, tuple[int, ...]], list[int]]) -> Iterator[Family]:
    for (_, sizes), numbers in alike.items():
        design = repeat_free_rounds(sizes) if len(numbers) > 1 else None
        if design is not None and len(design.rounds) > 1:
            yield Family(tuple(numbers), design)


def relabel(
    board: Board, seats: Seats, family: Family, scorings: int, rng: np.random.Generator, enough: float
) -> Seating:
    """Seats in which the blocks of a family follow its design, as cheap as the search finds; other blocks stay.

    Where there are more blocks than rounds in the design, the blocks beyond it stay as they are.
    """
    blocks = family.blocks[: len(family.design.rounds)]
    search = _Relabelling(board, seats, family, blocks, rng)
    return search.run(max(1, scorings // len(blocks)), enough)


class _Relabelling:
    def __init__(
        self, board: Board, seats: Seats, family: Family, blocks: tuple[int, ...], rng: np.random.Generator
    ) -> None:
        self.board, self.blocks, self.rng = board, blocks, rng
        people = board.blocks[blocks[0]].people
        self.rounds = _design_seats(family.design, rng.permutation(people), board.size)
        order = rng.permutation(len(self.rounds))
        self.used, self.spare = list(order[: len(blocks)]), list(order[len(blocks) :])
        start = seats.copy()
        start[list(blocks)] = self.rounds[self.used]
        self.state = State(_without_meetings_among(board, blocks), start)
        self.cost = self._cost(self.state)
        self.best = Seating(start, self.cost)

    def _cost(self, state: State) -> float:
        return state.cost - turn_cost(state.board, state.seats) + turn_cost(self.board, state.seats)

    def run(self, steps: int, enough: float) -> Seating:
        cooling = Cooling(warm=1.0, cool=0.2)
        for step in range(steps):
            if self.best.cost <= enough + HALF:
                break
            temperature = self.board.repeat * cooling.at(step / steps)
            self._swap_seats(temperature)
            if self.spare and step % 4 == 0:
                self._change_round(temperature)
            self._remember()
        return self.best

    def _remember(self) -> None:
        self.cost = self._cost(self.state)
        if self.cost < self.best.cost - HALF:
            self.best = Seating(self.state.seats.copy(), self.cost)

    def _swap_seats(self, temperature: float) -> None:
        """Draw two students who swap seats in all rounds of the design."""
        each = [self.state.swap_changes(block) for block in self.blocks]
        change: Floats = np.sum([np.where(np.isinf(c), 0.0, c) for c in each], axis=0)
        change[np.isinf(each[0]) & (self.state.seats[self.blocks[0]] == NOWHERE)] = np.inf
        np.fill_diagonal(change, np.inf)
        drawn = change - temperature * self.rng.gumbel(size=change.shape)
        one, other = divmod(int(drawn.argmin()), change.shape[1])
        if change[one, other] > 0 and drawn[one, other] >= -temperature * self.rng.gumbel():
            return
        for block, changes in zip(self.blocks, each, strict=True):
            if np.isfinite(changes[one, other]):
                self.state.swap(block, one, other, float(changes[one, other]))
        self.rounds[:, [one, other]] = self.rounds[:, [other, one]]

    def _change_round(self, temperature: float) -> None:
        """Offer a spare round of the design to one of the blocks."""
        place, spare = int(self.rng.integers(len(self.used))), int(self.rng.integers(len(self.spare)))
        block, seats = self.blocks[place], self.rounds[self.spare[spare]]
        change = self.state.reseat_change(block, seats)
        turns = self._turns_with(block, seats) - self._turns_with(block, self.state.seats[block])
        if change + turns < temperature * self.rng.exponential():
            self.state.reseat(block, seats, change)
            self.used[place], self.spare[spare] = self.spare[spare], self.used[place]

    def _turns_with(self, block: int, seats: Seats) -> float:
        if not self.board.turn_rounds[block]:
            return 0.0
        trial = self.state.seats.copy()
        trial[block] = seats
        return turn_cost(self.board, trial)


def _design_seats(design: Design, people: Seats, size: int) -> Seats:
    """rounds x people: the group of each person when person ``people[p]`` has the design's place p."""
    seats = np.full((len(design.rounds), size), NOWHERE, dtype=np.int64)
    for number, groups in enumerate(design.rounds):
        for place, group in enumerate(groups):
            seats[number, people[list(group)]] = place
    return seats


def _without_meetings_among(board: Board, blocks: tuple[int, ...]) -> Board:
    """The board without the price of meetings among these blocks, as the design has none, and without turns.

    Turns do not add up block by block, and seats that swap in all rounds swap their turns too; they are counted apart.
    """
    affinity = board.affinity.copy()
    inner = np.ix_(blocks, blocks)
    affinity[inner] = np.diag(np.diag(board.affinity)[list(blocks)])
    return replace(board, affinity=affinity, turn_rounds=np.zeros_like(board.turn_rounds))
