"""The door to whole round robins: one list of constructions, each of which says whether it fits the task.

The first that fits is taken. To add one, write a class with a ``name``, ``fits`` and ``draw`` and put it in DRAWS.
"""

from __future__ import annotations

from typing import Protocol

from grouper.games.asked import GamesTask
from grouper.games.balanced_courts import courts_of_rounds
from grouper.games.berger import berger_rounds
from grouper.games.carry_over import low_carry_over_rounds
from grouper.games.circle import circle_rounds, in_legs
from grouper.games.court_use import Courts
from grouper.games.pairing import Drawn, Pair, Slots, packed, reversed_homes
from grouper.games.turns import even_turns, odd_turns
from grouper.games.waits import cut_in_slots


class Draw(Protocol):
    """A construction of a whole round robin."""

    name: str

    def fits(self, task: GamesTask) -> bool:
        """Whether it can be used for the task."""
        ...

    def draw(self, task: GamesTask) -> Drawn:
        """The games in slots, at most ``task.at_once`` in each and no more slots than allowed."""
        ...


class BergerOrder:
    """The Berger tables, round after round, homes as published."""

    name = "Berger tables"

    def fits(self, task: GamesTask) -> bool:
        return task.order == "berger"

    def draw(self, task: GamesTask) -> Drawn:
        return Drawn(_round_after_round(berger_rounds(task.teams), task), homes_settled=True)


class LowCarryOver:
    """Rounds in which nobody meets many teams straight after the same other team."""

    name = "low carry-over"

    def fits(self, task: GamesTask) -> bool:
        return task.order == "carry-over"

    def draw(self, task: GamesTask) -> Drawn:
        return Drawn(_round_after_round(low_carry_over_rounds(task.teams), task))


class FullRounds:
    """Circle rounds with the fewest breaks, on balanced courts, when there is a court for every game of a round."""

    name = "full rounds"

    def fits(self, task: GamesTask) -> bool:
        return task.at_once == task.teams // 2

    def draw(self, task: GamesTask) -> Drawn:
        leg = circle_rounds(task.teams)
        rounds = in_legs(leg, legs_needed(task))[: task.slots]
        return Drawn(rounds, True, _courts_in_legs(rounds, leg, task.teams))


class EvenTurns:
    """Fewer courts than a round has games, an even number of teams: games in a row with even waits."""

    name = "even turns"

    def fits(self, task: GamesTask) -> bool:
        return task.teams % 2 == 0

    def draw(self, task: GamesTask) -> Drawn:
        return Drawn(_in_slots(even_turns(task.teams, legs_needed(task)), task), homes_settled=True)


class OddTurns:
    """Fewer courts than a round has games, an odd number of teams: round trips through all teams."""

    name = "round trips"

    def fits(self, task: GamesTask) -> bool:
        return task.teams % 2 == 1

    def draw(self, task: GamesTask) -> Drawn:
        return Drawn(_in_slots(odd_turns(task.teams, legs_needed(task)), task))


DRAWS: tuple[Draw, ...] = (BergerOrder(), LowCarryOver(), FullRounds(), EvenTurns(), OddTurns())


def draw_for(task: GamesTask) -> Draw:
    """The first construction of DRAWS that fits; every task has one."""
    return next(draw for draw in DRAWS if draw.fits(task))


def legs_needed(task: GamesTask) -> int:
    """The legs asked for, or those that the slots allow to begin."""
    if task.legs is not None:
        return task.legs
    return max(1, -(-(task.slots or 1) * task.at_once // task.pairs))


def _in_slots(row: list[Pair], task: GamesTask) -> Slots:
    most = len(row) if task.slots is None else task.slots * task.at_once
    return cut_in_slots(row[:most], task.at_once)


def _round_after_round(leg: Slots, task: GamesTask) -> Slots:
    rounds = [games for k in range(legs_needed(task)) for games in (reversed_homes(leg) if k % 2 else leg)]
    return packed([pair for games in rounds for pair in games], task.at_once)[: task.slots]


def _courts_in_legs(rounds: Slots, leg: Slots, teams: int) -> Courts:
    """Balanced courts for the first leg, moved on by one in each later leg so that nobody misses the same one again."""
    courts = teams // 2
    balanced = courts_of_rounds(leg, teams)
    of_pair = {
        frozenset(pair): court
        for games, row in zip(leg, balanced, strict=True)
        for pair, court in zip(games, row, strict=True)
    }
    return [
        [(of_pair[frozenset(pair)] - 1 + number // len(leg)) % courts + 1 for pair in games]
        for number, games in enumerate(rounds)
    ]
