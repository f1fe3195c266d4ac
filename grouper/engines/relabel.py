"""Relabelling: a schedule without repeats is kept, and its seats are given to students so that all else comes right.

Swapping two students' seats in all rounds at once keeps a schedule free of repeats, as does taking another of its
rounds that is not in use. So requests, gaps, even teams and meetings of other rounds are all that is left to search
for. The search is annealing by heat bath as in ``exchange``, over whole seats instead of one round's.

A step costs four times as many scorings of exchange search as there are rounds, which is what it takes in time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from grouper.engines.board import NOWHERE, Board, Seats
from grouper.engines.designs import CONSTRUCTIONS, Design, repeat_free_rounds
from grouper.engines.exchange import HALF, Cooling
from grouper.engines.relabel_state import RelabelState
from grouper.engines.seating import Seating, turn_cost
from grouper.engines.watch import Watch, always, part_of


@dataclass(frozen=True)
class Family:
    """Free blocks with the same people and the same sizes, and schedules without repeats for them.

    The longest schedule is often the stiffest one: where nobody is left to be met, few ways to seat people are even.
    So every schedule takes part that is long enough.
    """

    blocks: tuple[int, ...]
    designs: tuple[Design, ...]


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
        designs = _designs(sizes, len(numbers)) if len(numbers) > 1 else ()
        if designs:
            yield Family(tuple(numbers), designs)


def _designs(sizes: tuple[int, ...], wanted: int) -> tuple[Design, ...]:
    """Schedules with as many rounds as wanted, or as many as are known; one of each length."""
    longest = repeat_free_rounds(sizes)
    if longest is None or len(longest.rounds) < 2:
        return ()
    found = {len(longest.rounds): longest}
    for construction in CONSTRUCTIONS:
        length = construction.length(sizes)
        if length >= min(wanted, len(longest.rounds)) and length not in found:
            found[length] = Design(sizes, tuple(construction.rounds(sizes)), construction.source)
    return tuple(found.values())


def relabel(
    board: Board,
    seats: Seats,
    family: Family,
    scorings: int,
    rng: np.random.Generator,
    enough: float,
    watch: Watch = always,
) -> Seating:
    """Seats in which the blocks of a family follow one of its designs; other blocks stay.

    Every design is tried for a while, and the most promising one gets most of the budget. Where there are more blocks
    than rounds in the designs, the blocks beyond them stay as they are. ``watch`` may cut it short.
    """
    probe, share = scorings * PROBED / len(family.designs), PROBED / len(family.designs)
    tries = []
    for number, design in enumerate(family.designs):
        heard = part_of(watch, number * share, (number + 1) * share)
        tries.append(_relabel(board, seats, family, design, round(probe), rng, enough, heard))
    best = min(range(len(tries)), key=lambda number: tries[number].cost)
    if not HALF < tries[best].cost - enough < HOPELESS * board.repeat * len(family.blocks):
        return tries[best]
    rest = scorings - round(scorings * PROBED)
    heard = part_of(watch, PROBED, 1.0, tries[best].cost)
    again = _relabel(board, seats, family, family.designs[best], rest, rng, enough, heard)
    return min(tries[best], again, key=lambda seating: seating.cost)


STEP = 4
"""Scorings of exchange search in the time of one of ours, for each round."""

WATCHED_EVERY = 16
"""Steps between two words to whoever watches."""

PROBED = 0.5
"""Of the budget: to tell the designs apart."""

HOPELESS = 20.0
"""In repeats a round above what cannot be beaten: no more work is spent on it, exchange search does better."""


def _relabel(
    board: Board,
    seats: Seats,
    family: Family,
    design: Design,
    scorings: int,
    rng: np.random.Generator,
    enough: float,
    watch: Watch,
) -> Seating:
    blocks = family.blocks[: len(design.rounds)]
    return _Relabelling(board, seats, design, blocks, rng).run(max(1, scorings // (STEP * len(blocks))), enough, watch)


class _Relabelling:
    def __init__(
        self, board: Board, seats: Seats, design: Design, blocks: tuple[int, ...], rng: np.random.Generator
    ) -> None:
        self.board, self.blocks, self.rng = board, np.array(blocks), rng
        self.people = board.blocks[blocks[0]].people
        self.rounds = _design_seats(design, rng.permutation(len(self.people)))
        order = rng.permutation(len(self.rounds))
        self.used, self.spare = list(order[: len(blocks)]), list(order[len(blocks) :])
        self.seats = seats.copy()
        self.state = RelabelState(board, self.seats, self.blocks, self.rounds[self.used])
        self.best = self._seating()

    def _seating(self) -> Seating:
        seats = self.seats.copy()
        seats[np.ix_(self.blocks, self.people)] = self.state.seats
        turns = turn_cost(self.board, seats) if self.board.turn_rounds.any() else 0.0
        return Seating(seats, self.state.cost + turns)

    def run(self, steps: int, enough: float, watch: Watch) -> Seating:
        cooling = Cooling(warm=1.0, cool=0.2)
        unit = self.board.repeat
        for step in range(steps):
            share = step / steps
            if self.best.cost <= enough + HALF or (step % WATCHED_EVERY == 0 and not watch(share, self.best.cost)):
                break
            temperature = unit * cooling.at(share)
            self._swap_seats(temperature)
            if self.spare and step % 4 == 0:
                self._change_round(temperature)
            self._remember()
        return self.best

    def _remember(self) -> None:
        if self.state.cost < self.best.cost - HALF:
            seating = self._seating()
            self.best = min(self.best, seating, key=lambda item: item.cost)

    def _swap_seats(self, temperature: float) -> None:
        """Draw two students who swap seats in all rounds of the design."""
        change = self.state.swap_changes()
        drawn = change - temperature * self.rng.gumbel(size=change.shape)
        one, other = divmod(int(drawn.argmin()), change.shape[1])
        if drawn[one, other] >= -temperature * self.rng.gumbel():
            return
        self.state.swap(one, other, float(change[one, other]))
        self.rounds[:, [one, other]] = self.rounds[:, [other, one]]

    def _change_round(self, temperature: float) -> None:
        """Offer a spare round of the design to one of the blocks."""
        place, spare = int(self.rng.integers(len(self.used))), int(self.rng.integers(len(self.spare)))
        seats = self.rounds[self.spare[spare]]
        change = self.state.reseat_change(place, seats) + self._turn_change(place, seats)
        if change < temperature * self.rng.exponential():
            self.state.reseat(place, seats)
            self.used[place], self.spare[spare] = self.spare[spare], self.used[place]

    def _turn_change(self, place: int, seats: Seats) -> float:
        if not self.board.turn_rounds[self.blocks[place]]:
            return 0.0
        now = self._seating().seats
        trial = now.copy()
        trial[self.blocks[place], self.people] = seats
        return turn_cost(self.board, trial) - turn_cost(self.board, now)


def _design_seats(design: Design, people: Seats) -> Seats:
    """rounds x people: the group of each person when person ``people[p]`` has the design's place p."""
    seats = np.full((len(design.rounds), len(people)), NOWHERE, dtype=np.int64)
    for number, groups in enumerate(design.rounds):
        for place, group in enumerate(groups):
            seats[number, people[list(group)]] = place
    return seats
