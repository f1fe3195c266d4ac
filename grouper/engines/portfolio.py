"""The engines, in the order in which they are tried; the cheapest seating wins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from grouper.engines.board import Board, Seats
from grouper.engines.exchange import Watch, improve
from grouper.engines.relabel import Family, families, relabel
from grouper.engines.seating import Seating, cost_of
from grouper.engines.start import start_seats


@dataclass(frozen=True)
class Task:
    """What an engine is to do.

    ``start`` are seats to begin from, ``scorings`` the budget, ``enough`` a cost that cannot be beaten, ``rng`` the
    only source of chance, ``watch`` is told of progress and may stop the search.
    """

    board: Board
    start: Seats
    scorings: int
    enough: float
    rng: np.random.Generator
    watch: Watch


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
    """Swaps over the whole unit: for every board."""

    key: str = "exchange"

    def applies(self, task: Task) -> bool:
        """Always."""
        return True

    def solve(self, task: Task) -> Seating:
        """Anneal from the start."""
        return improve(task.board, task.start, task.scorings, task.rng, task.enough, task.watch)


@dataclass(frozen=True)
class Designed:
    """Schedules without repeats, relabelled: where new partners come before even teams, or teams need not be even."""

    key: str = "designed"
    share: float = 0.3
    """Of the budget: relabelling finds what it finds early."""

    def applies(self, task: Task) -> bool:
        """Whether there are rounds of one kind for which a schedule without repeats is known and wanted."""
        return any(_is_wanted(task.board, family) for family in families(task.board))

    def solve(self, task: Task) -> Seating:
        """Relabel one kind of rounds after the other, the other rounds as they are."""
        wanted = [family for family in families(task.board) if _is_wanted(task.board, family)]
        seating = Seating(task.start, cost_of(task.board, task.start))
        for family in wanted:
            scorings = round(self.share * task.scorings / len(wanted))
            found = relabel(task.board, seating.seats, family, scorings, task.rng, task.enough)
            seating = min(seating, found, key=lambda item: item.cost)
        return seating


def _is_wanted(board: Board, family: Family) -> bool:
    """Not where even teams outweigh repeats: a relabelled schedule is too stiff for them."""
    totals = (total for number in family.blocks for total in board.blocks[number].totals)
    return all(total.step.max() < EVEN_TEAMS_FIRST * board.repeat for total in totals)


EVEN_TEAMS_FIRST = 0.25
"""From this price on, in repeats for a step of a team's total, even teams come before new partners."""

ENGINES: tuple[Engine, ...] = (Designed(), Exchange())


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
    for engine in (engine for engine in ENGINES if engine.applies(task)):
        seating = engine.solve(task)
        if best is None or seating.cost < best.seating.cost:
            best = Solved(seating, engine.key)
        if best.seating.cost <= enough:
            break
    return best or Solved(improve(board, seats, 0, rng), "start")
