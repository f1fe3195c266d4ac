"""The engines, in the order in which they are tried; the cheapest seating wins."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import comb
from typing import Protocol

import numpy as np

from grouper.engines.board import Board, Seats
from grouper.engines.bounds import least_turn_cost
from grouper.engines.exchange import Cooling, improve
from grouper.engines.relabel import families, relabel
from grouper.engines.seating import Seating, cost_of, turn_cost
from grouper.engines.start import start_seats
from grouper.engines.watch import Watch, part_of
from grouper.engines.wide import improve_wide, is_wide


@dataclass(frozen=True)
class Task:
    """What an engine is to do.

    ``start`` are seats to begin from, ``scorings`` the budget, ``enough`` a cost that cannot be beaten, ``rng`` the
    only source of chance, ``watch`` is told of progress and may stop the search. ``worked_on`` says that the start is
    another engine's work.
    """

    board: Board
    start: Seats
    scorings: int
    enough: float
    rng: np.random.Generator
    watch: Watch
    worked_on: bool = False


class Engine(Protocol):
    """The door for ways of searching: it says whether it applies, and makes a seating."""

    @property
    def key(self) -> str:
        """A short name, as in reports."""

    def applies(self, task: Task) -> bool:
        """Whether the engine can do anything with this board."""

    def solve(self, task: Task) -> Seating:
        """A seating with the board's fixed blocks as they stand."""


@dataclass(frozen=True)
class Exchange:
    """Swaps over the whole unit, all those of a round at once: for classes."""

    key: str = "exchange"

    def applies(self, task: Task) -> bool:
        """Where the board is not too wide to score all swaps of a round."""
        return not is_wide(task.board)

    def solve(self, task: Task) -> Seating:
        """Anneal from the start; not too warm where it has been worked on, so that it is not lost.

        A round by itself is soon cold, and the teams that it ends in are rarely the most even: several short runs from
        other seats find them.
        """
        cooling = Cooling(warm=WORKED_ON_WARM) if task.worked_on else Cooling()
        if len(task.board.free) > 1:
            return improve(task.board, task.start, task.scorings, task.rng, task.enough, task.watch, cooling)
        best, scorings = Seating(task.start, cost_of(task.board, task.start)), task.scorings // SHORT_RUNS
        for number in range(SHORT_RUNS):
            if best.cost <= task.enough:
                break
            start = task.start if number == 0 else start_seats(task.board, task.rng)
            heard = part_of(task.watch, number / SHORT_RUNS, (number + 1) / SHORT_RUNS, best.cost)
            found = improve(task.board, start, scorings, task.rng, task.enough, heard, cooling)
            best = min(best, found, key=lambda seating: seating.cost)
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


@dataclass(frozen=True)
class Designed:
    """Schedules without repeats, relabelled."""

    key: str = "designed"
    share: float = 0.6
    """Of the budget: relabelling finds what it finds early."""

    def applies(self, task: Task) -> bool:
        """Whether there are rounds of one kind for which a schedule without repeats is known.

        Not on wide boards, where relabelling would score people x people x rounds at each step.
        """
        return not is_wide(task.board) and bool(families(task.board))

    def solve(self, task: Task) -> Seating:
        """Relabel one kind of rounds after the other, the other rounds as they are."""
        wanted = families(task.board)
        seating = Seating(task.start, cost_of(task.board, task.start))
        for number, family in enumerate(wanted):
            scorings = round(self.share * task.scorings / len(wanted))
            heard = part_of(task.watch, number / len(wanted), (number + 1) / len(wanted), seating.cost)
            found = relabel(task.board, seating.seats, family, scorings, task.rng, task.enough, heard)
            seating = min(seating, found, key=lambda item: item.cost)
        return seating


def _is_near(task: Task, seating: Seating) -> bool:
    """Whether a seating is a better start than any other: most are within a few repeats a round, or far off."""
    return seating.cost - task.enough <= NEAR * task.board.repeat * len(task.board.free)


NEAR = 8.0
"""In repeats a round above what cannot be beaten."""

SHORT_RUNS = 8

WORKED_ON_WARM = 0.2
"""In repeats: warm enough to trade a few of them, not to forget where it came from."""

ENGINES: tuple[Engine, ...] = (Designed(), Exchange(), WideExchange())


@dataclass(frozen=True)
class Solved:
    """The best seating, and which engine made it."""

    seating: Seating
    engine: str


def solve(board: Board, scorings: int, enough: float, seed: int, watch: Watch, start: Seats | None = None) -> Solved:
    """The cheapest seating that the engines find; the same seed gives the same seating."""
    rng = np.random.default_rng(seed)
    seats = start_seats(board, rng) if start is None else start
    task = Task(board, seats, scorings, enough, rng, watch)
    best: Solved | None = None
    fitting = [engine for engine in ENGINES if engine.applies(task)]
    for number, engine in enumerate(fitting):
        known = best.seating.cost if best else cost_of(board, seats)
        heard = part_of(watch, number / len(fitting), (number + 1) / len(fitting), known)
        seating = engine.solve(replace(task, watch=heard))
        if best is None or seating.cost < best.seating.cost:
            best = Solved(seating, engine.key)
            if _is_near(task, seating):
                task = replace(task, start=seating.seats, worked_on=True)
        if best.seating.cost <= enough:
            break
    if best is None:
        return Solved(improve(board, seats, 0, rng), "start")
    return replace(best, seating=_evened(board, best.seating, rng))


EVENING = 60
"""Scorings for each free block, when turns are uneven at the end."""

DEARER = 4.0

NEARLY_COLD = Cooling(warm=0.03, cool=0.015)


def _evened(board: Board, seating: Seating, rng: np.random.Generator) -> Seating:
    """The seating with turns shared out by a short search to which they are dearer, at no more than one meeting in a
    hundred."""
    uneven = turn_cost(board, seating.seats)
    if uneven <= least_turn_cost(board) or is_wide(board):
        return seating
    dear = replace(board, blocks=tuple(replace(block, special=DEARER * block.special) for block in board.blocks))
    found = improve(dear, seating.seats, EVENING * len(board.free), rng, -np.inf, cooling=NEARLY_COLD).seats
    cost = cost_of(board, found)
    meetings = sum(len(block.keys) * sum(comb(size, 2) for size in block.sizes) for block in board.blocks)
    is_better = turn_cost(board, found) < uneven and cost <= seating.cost + board.repeat * meetings / 100
    return Seating(found, cost) if is_better else seating
