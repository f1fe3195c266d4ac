"""Puts games, homes, courts, duty and loans together into a schedule."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from grouper.games.court_use import Courts, Use
from grouper.games.game import Game, Loan
from grouper.games.officials import Turns
from grouper.games.pairing import Slots


def games_of(slots: Slots, courts: Courts, turns: Turns, first_slot: int = 1) -> tuple[Game, ...]:
    """The games in order of slot and court; the teams on duty go to the courts in turn."""
    games: list[Game] = []
    for offset, (pairs, places, duty) in enumerate(zip(slots, courts, turns, strict=True)):
        officials = [*duty, *[None] * (len(pairs) - len(duty))]
        rows = sorted(zip(places, pairs, strict=True))
        games += [
            Game(first_slot + offset, court, home, away, official)
            for (court, (home, away)), official in zip(rows, officials, strict=True)
        ]
    return tuple(games)


def slots_of(games: Sequence[Game], count: int) -> Slots:
    """The pairs of each of the first ``count`` slots, home first."""
    slots: Slots = [[] for _ in range(count)]
    for game in games:
        slots[game.slot - 1].append((game.home, game.away))
    return slots


def duty_of(games: Sequence[Game], count: int) -> Turns:
    """The teams on duty in each of the first ``count`` slots."""
    turns: Turns = [[] for _ in range(count)]
    for game in games:
        if game.duty is not None:
            turns[game.slot - 1].append(game.duty)
    return turns


def use_of(games: Sequence[Game]) -> Use:
    """How often each team has played on each court."""
    return Counter((team, game.court) for game in games for team in (game.home, game.away))


def loans_for(games: Sequence[Game], short: Sequence[int], present: Sequence[int]) -> tuple[Loan, ...]:
    """For every game of a short team a lender: a team without game and duty in that slot, each about equally often."""
    lent: Counter[int] = Counter()
    loans: list[Loan] = []
    for slot in sorted({game.slot for game in games}):
        here = [game for game in games if game.slot == slot]
        busy = {team for game in here for team in (game.home, game.away, game.duty)}
        busy.update(short)
        for team in (team for game in here for team in (game.home, game.away) if team in short):
            free = [other for other in present if other not in busy]
            if free:
                lender = min(free, key=lambda other: (lent[other], other))
                lent[lender] += 1
                busy.add(lender)
                loans.append(Loan(slot, team, lender))
    return tuple(loans)
