"""The engines: each makes a short attempt, and the one that got furthest gets the rest of the budget.

A schedule without repeats is unbeatable in one class and a dead end in the next, and a short run tells.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import comb
from typing import Protocol

import numpy as np

from grouper.engines.annealing import Cooling, Watch, part_of
from grouper.engines.board import Block, Board, Seats
from grouper.engines.bounds import least_turn_cost
from grouper.engines.by_kinds import KindPlan
from grouper.engines.exchange import improve
from grouper.engines.kinds import prices_of
from grouper.engines.relabel import families, relabel
from grouper.engines.seating import Seating, cost_of, group_totals, pairs_of, turn_cost
from grouper.engines.start import start_seats
from grouper.engines.state import State
from grouper.engines.wide import improve_wide, is_wide


@dataclass(frozen=True)
class Task:
    """What an engine is to do.

    ``start`` are seats to begin from, ``scorings`` the budget, ``enough`` a cost that cannot be beaten, ``rng`` the
    only source of chance, ``watch`` is told of progress and may stop the search. ``kinds`` are the best kinds of teams.
    """

    board: Board
    start: Seats
    scorings: int
    enough: float
    rng: np.random.Generator
    watch: Watch
    kinds: KindPlan

    def part(self, share: float, low: float, high: float, known: float) -> Task:
        """A share of the budget, told as the part from ``low`` to ``high`` of the whole; ``known`` is reached."""
        return replace(self, scorings=round(share * self.scorings), watch=part_of(self.watch, low, high, known))

    def annealed(self, seats: Seats, cooling: Cooling) -> Seating:
        """The best seating from these seats in all of the budget."""
        return improve(self.board, seats, self.scorings, self.rng, self.enough, self.watch, cooling)


class Engine(Protocol):
    """The door for ways of searching: it says whether it applies, and makes a seating."""

    @property
    def key(self) -> str:
        """A short name, as in reports."""

    def applies(self, task: Task) -> bool:
        """Whether the engine can do anything with this board."""

    def solve(self, task: Task) -> Seating:
        """A seating with the board's fixed blocks as they stand."""

    def go_on(self, task: Task, reached: Seating) -> Seating:
        """A seating from a larger budget, after what an attempt reached."""


@dataclass(frozen=True)
class Exchange:
    """Swaps over the whole unit, all those of a few rounds at once: for classes."""

    key: str = "exchange"

    def applies(self, task: Task) -> bool:
        """Where the board is not too wide to score all swaps of a round, and kinds do not tell where to begin.

        Groups alike that swaps find from anywhere are now and then better ones.
        """
        return not is_wide(task.board) and (task.kinds.alike or not task.kinds.rounds)

    def solve(self, task: Task) -> Seating:
        """Anneal from the start.

        A round by itself is soon cold, and the teams that it ends in are rarely the most even: several short runs from
        other seats find them.
        """
        if len(task.board.free) > 1:
            # Short runs of a whole unit end higher than one long run.
            return task.annealed(task.start, Cooling())
        best = Seating(task.start, cost_of(task.board, task.start))
        for number in range(SHORT_RUNS):
            if best.cost <= task.enough:
                break
            start = task.start if number == 0 else start_seats(task.board, task.rng)
            short = task.part(1 / SHORT_RUNS, number / SHORT_RUNS, (number + 1) / SHORT_RUNS, best.cost)
            best = min(best, short.annealed(start, Cooling()), key=lambda seating: seating.cost)
        return best

    def go_on(self, task: Task, reached: Seating) -> Seating:
        """Anneal from the start again, more slowly: that forgets where it came from."""
        return self.solve(task)


@dataclass(frozen=True)
class ByKinds:
    """Swaps over the whole unit from the best kinds of teams: not so warm that these are lost."""

    key: str = "kinds"

    def applies(self, task: Task) -> bool:
        """Where there are balanced rounds with few kinds of teams: twos and threes of one strand."""
        return bool(task.kinds.rounds)

    def solve(self, task: Task) -> Seating:
        """Draw who of each kind sits where, and anneal; swaps mend the requests that the draw breaks, nearly always."""
        # Not so warm, it can end with a request broken that the draw broke; the usual way hardly does.
        found = task.annealed(task.kinds.seats(task.start, task.rng), OF_KINDS)
        return found if found.cost < task.board.hard else task.annealed(task.start, Cooling())

    def go_on(self, task: Task, reached: Seating) -> Seating:
        """The same from other draws, a few times: one is much luckier than another.

        The first time even teams count twice. The kinds of teams are even, and there are so many ways to be a little
        less even that swaps take one of them now and then where it wins nothing.
        """
        best = reached
        for number in range(DRAWS):
            part = task.part(1 / DRAWS, number / DRAWS, (number + 1) / DRAWS, best.cost)
            if number == 0:
                blocks = tuple(_with_even_teams_dearer(block, TWICE) for block in task.board.blocks)
                part = replace(part, board=replace(task.board, blocks=blocks))
            seats = self.solve(part).seats
            best = min(best, Seating(seats, cost_of(task.board, seats)), key=lambda seating: seating.cost)
            if best.cost <= task.enough:
                break
        return best


@dataclass(frozen=True)
class WideExchange:
    """Swaps over the whole unit, those of a few groups at once: for camps and sports days."""

    key: str = "wide exchange"

    def applies(self, task: Task) -> bool:
        """Where the board is wide."""
        return is_wide(task.board)

    def solve(self, task: Task) -> Seating:
        """Anneal from the start."""
        return improve_wide(task.board, task.start, task.scorings, task.rng, task.enough, task.watch)

    def go_on(self, task: Task, reached: Seating) -> Seating:
        """The same again."""
        return self.solve(task)


@dataclass(frozen=True)
class Designed:
    """Schedules without repeats, relabelled, then annealed: not too warm, so that the schedule is not lost.

    ``broken`` is what a broken request counts while relabelling, in repeats: a schedule in which nearly everybody meets
    cannot keep them all, and swaps mend the few that are left.
    """

    key: str
    broken: float
    share: float = 0.35
    """Of the budget, for relabelling."""

    def applies(self, task: Task) -> bool:
        """Whether there are rounds of one kind for which a schedule without repeats is known.

        Not on wide boards, where relabelling would score people x people x rounds at each step; and one attempt is
        enough where kinds tell where to begin.
        """
        is_second = self.broken > FEWEST_BROKEN and bool(task.kinds.rounds)
        return not is_wide(task.board) and not is_second and bool(families(task.board))

    def solve(self, task: Task) -> Seating:
        """Relabel one kind of rounds after the other, the other rounds as they are; then anneal."""
        seats = self._relabelled(task.part(self.share, 0.0, self.share, np.inf), task.start)
        seating = Seating(seats, cost_of(task.board, seats))
        if seating.cost <= task.enough:
            return seating
        rest = task.part(1 - self.share, self.share, 1.0, seating.cost)
        return min(seating, rest.annealed(seats, NOT_TOO_WARM), key=lambda item: item.cost)

    def _relabelled(self, task: Task, seats: Seats) -> Seats:
        loose, wanted = _loosened(task.board, self.broken), families(task.board)
        for number, family in enumerate(wanted):
            low, high = (place / len(wanted) for place in (number, number + 1))
            part = task.part(1 / len(wanted), low, high, cost_of(task.board, seats))
            found = relabel(loose, seats, family, part.scorings, task.rng, task.enough, part.watch).seats
            # Compared as it was searched: what the last few requests cost is for the swaps that come after.
            if cost_of(loose, found) < cost_of(loose, seats):
                seats = found
        return seats

    def go_on(self, task: Task, reached: Seating) -> Seating:
        """Relabel once more, and anneal the better of the two.

        A schedule that fits may be out of reach for swaps: those that begin from it only lose it.
        """
        seats = self._relabelled(task.part(0.5, 0.0, 0.5, reached.cost), task.start)
        cost = cost_of(task.board, seats)
        best = min(reached, Seating(seats, cost), key=lambda item: item.cost)
        rest = task.part(0.5, 0.5, 1.0, best.cost)
        return min(best, rest.annealed(best.seats, NOT_TOO_WARM), key=lambda item: item.cost)


def _with_even_teams_dearer(block: Block, times: float) -> Block:
    return replace(block, averages=tuple(replace(item, weight=times * item.weight) for item in block.averages))


def _loosened(board: Board, repeats: float) -> Board:
    """The board with no pair dearer, nor worth more, than so many repeats."""
    most = repeats * board.repeat
    blocks = (replace(block, pair_cost=np.clip(block.pair_cost, -most, most)) for block in board.blocks)
    return replace(board, blocks=tuple(blocks))


NOT_TOO_WARM = Cooling(warm=0.3, cool=0.1)
"""Warm enough to trade a few repeats, not to forget where the seats came from."""

OF_KINDS = Cooling(warm=0.3, cool=0.1)
"""At 0.4 and more the kinds of teams are soon others."""

SHORT_RUNS = 8

DRAWS = 2

TWICE = 2.0

FEWEST_BROKEN = 2.0

ENGINES: tuple[Engine, ...] = (
    Designed("designed", broken=FEWEST_BROKEN),
    Designed("designed for requests", broken=8.0),
    ByKinds(),
    Exchange(),
    WideExchange(),
)


@dataclass(frozen=True)
class Solved:
    """The best seating, and which engine made it."""

    seating: Seating
    engine: str


def solve(board: Board, scorings: int, enough: float, seed: int, watch: Watch, start: Seats | None = None) -> Solved:
    """The cheapest seating that the engines find; the same seed gives the same seating."""
    rng = np.random.default_rng(seed)
    seats = start_seats(board, rng) if start is None else start
    # From the best kinds of teams half the budget reaches what all of it does (docs/quality/solver.md).
    kinds = KindPlan(board)
    budget = scorings // 2 if kinds.rounds and not kinds.alike else scorings
    task = Task(board, seats, budget, enough, rng, watch, kinds)
    fitting = [engine for engine in ENGINES if engine.applies(task)]
    best = Solved(Seating(seats, cost_of(board, seats)), "start")
    furthest, share = fitting[0], ATTEMPT if len(fitting) > 1 else 0.0
    for number, engine in enumerate(fitting if share else ()):
        attempt = task.part(share, number * share, (number + 1) * share, best.seating.cost)
        found = engine.solve(attempt)
        if found.cost < best.seating.cost:
            best, furthest = Solved(found, engine.key), engine
        if best.seating.cost <= enough:
            return best
    used = len(fitting) * share
    again = furthest.go_on(task.part(1 - used, used, 1.0, best.seating.cost), best.seating)
    if again.cost < best.seating.cost:
        best = Solved(again, furthest.key)
    if is_wide(board):
        return best
    seating = _as_alike_as_the_best(board, _teams_evened(board, best.seating, rng), kinds, rng)
    return replace(best, seating=_turns_shared(board, seating, rng))


ATTEMPT = 0.06
"""Of the budget for an attempt of each engine, where there are several."""


EVENING = 1_000
"""Scorings for a round whose teams are uneven, or whose groups are less alike than another's, at the end."""

MUCH_DEARER = 30.0

ALONE = Cooling(warm=0.6, cool=0.2)
"""A round by itself has little to lose, and must get past rounds that are less even still."""


def _teams_evened(board: Board, seating: Seating, rng: np.random.Generator) -> Seating:
    """The seating with each uneven round searched once more by itself, as if evenness were all.

    A round is to be even where that costs a repeat at most, and the search of all rounds need not have looked for that
    in each of them. What is found is kept where it costs less.
    """
    for number in board.free:
        block, row = board.blocks[number], seating.seats[number]
        if not any(item.cost(group_totals(row, item.values, len(block.sizes))) for item in block.averages):
            continue
        dear = _with_even_teams_dearer(block, MUCH_DEARER)
        seating = _searched_alone(board, seating, number, dear, row, rng)
    return seating


def _as_alike_as_the_best(board: Board, seating: Seating, kinds: KindPlan, rng: np.random.Generator) -> Seating:
    """The seating with each round whose groups are less alike than another's searched once more from that one's.

    Groups of other kinds of people are out of reach for swaps, each of which would make two groups much less alike.
    """
    for alike in kinds.model.alike if kinds.alike else ():
        # To the last unit: the kinds were priced in tens of repeats.
        prices = prices_of(board, alike.block)
        price = {number: float(prices[pairs_of(seating.seats[number])].sum()) for number in alike.numbers}
        best = min(price, key=lambda number: price[number])
        for number in alike.numbers:
            if price[number] > price[best]:
                row = seating.seats[best]
                seating = _searched_alone(board, seating, number, board.blocks[number], row, rng)
    return seating


def _searched_alone(
    board: Board, seating: Seating, number: int, block: Block, row: Seats, rng: np.random.Generator
) -> Seating:
    """The seating with a round searched by itself from a row of seats, the others as they are; if that is cheaper."""
    # What the other rounds make of each two is a price of the pair here: a board of one round is soon made.
    meetings = State(board, seating.seats).sharing(number)
    alone = board.alone(replace(block, pair_cost=meetings))
    found = seating.seats.copy()
    found[number] = improve(alone, row[None, :], EVENING, rng, -np.inf, cooling=ALONE).seats[0]
    return min(seating, Seating(found, cost_of(board, found)), key=lambda item: item.cost)


SHARING = 240
"""Scorings for each free block, when turns are uneven at the end."""

DEARER = 4.0

NEARLY_COLD = Cooling(warm=0.03, cool=0.015)


def _turns_shared(board: Board, seating: Seating, rng: np.random.Generator) -> Seating:
    """The seating with turns shared out by a short search to which they are dearer, at no more than one meeting in a
    hundred."""
    uneven = turn_cost(board, seating.seats)
    if uneven <= least_turn_cost(board):
        return seating
    dear = replace(board, blocks=tuple(replace(block, special=DEARER * block.special) for block in board.blocks))
    found = improve(dear, seating.seats, SHARING * len(board.free), rng, -np.inf, cooling=NEARLY_COLD).seats
    cost = cost_of(board, found)
    meetings = sum(len(block.keys) * sum(comb(size, 2) for size in block.sizes) for block in board.blocks)
    is_better = turn_cost(board, found) < uneven and cost <= seating.cost + board.repeat * meetings / 100
    return Seating(found, cost) if is_better else seating
