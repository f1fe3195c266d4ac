"""Carry-over: how often a team meets somebody straight after the same other team did.

Source: K. G. Russell, Balancing carry-over effects in round robin tournaments, Biometrika 67, 1980.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from random import Random

import numpy as np
from numpy.typing import NDArray

from grouper.engines.designs.field import field_of, prime_powers
from grouper.games.circle import circle_rounds
from grouper.games.pairing import Pair, Slots
from grouper.games.starters import catalogue, rounds_of

MOST_EXCHANGES = 6000


def carry_over_value(slots: Sequence[Sequence[Pair]]) -> int:
    """The sum over ordered pairs (i, j) of the square of how many teams meet j in the game after that against i.

    The game after a team's last one is its first. With n teams, even, a single round robin has at least n(n - 1), and
    (n - 1)((n - 3)^2 + 3) by the circle method, which is the most there is.

    >>> carry_over_value([[(1, 4), (2, 3)], [(4, 3), (1, 2)], [(2, 4), (3, 1)]])
    12
    """
    met: dict[int, list[int]] = defaultdict(list)
    for home, away in (pair for games in slots for pair in games):
        met[home].append(away)
        met[away].append(home)
    steps = Counter(step for row in met.values() for step in zip(row, row[1:] + row[:1], strict=True))
    return sum(times * times for times in steps.values())


def least_carry_over(teams: int, games: int) -> int:
    """A bound below any carry-over value: all steps spread evenly over the ordered pairs of teams."""
    # Only in a further leg can a team meet the same opponent twice running, which makes (i, i) a pair too.
    pairs = teams * (teams - 1) if 1 < games <= teams * (teams - 1) // 2 else teams * teams
    quotient, rest = divmod(2 * games, pairs)
    return (pairs - rest) * quotient**2 + rest * (quotient + 1) ** 2


def _most(rounds: Sequence[Sequence[Pair]]) -> int:
    return max(team for games in rounds for pair in games for team in pair)


def _opponents(games: Sequence[Pair], teams: int) -> NDArray[np.int64]:
    """For each team (from 0) its opponent, or ``teams`` for none."""
    table = np.full(teams, teams, dtype=np.int64)
    for home, away in games:
        table[home - 1], table[away - 1] = away - 1, home - 1
    return table


def _value(tables: NDArray[np.int64]) -> int:
    """Count each (opponent now, opponent next) over all teams and rounds; nobody (the last number) is left out."""
    width = tables.shape[1] + 1
    steps = tables * width + np.roll(tables, -1, axis=0)
    counts = np.bincount(steps.ravel(), minlength=width * width).reshape(width, width)[:-1, :-1]
    return int((counts * counts).sum())


def low_carry_over_rounds(teams: int) -> Slots:
    """Rounds with a low carry-over: the least possible, n(n - 1), where n is a power of two, and for 20 and 22 teams.

    For other even numbers up to 30 from a starter of the catalogue. Otherwise circle rounds in the best order that
    exchanges find from a fixed start (S. Miyashiro and T. Matsui, Minimizing the carry-over effects value in a
    round-robin tournament, PATAT 2006).
    """
    factors = prime_powers(teams)
    if len(factors) == 1 and factors[0][0] == 2 and teams > 2:
        return _field_rounds(factors[0][1])
    if teams in catalogue():
        return rounds_of(catalogue()[teams])
    return _reordered(circle_rounds(teams))


def _field_rounds(degree: int) -> Slots:
    """Round r pairs x with x + g^r in GF(2^degree), g a primitive element: all carry-overs are then equal (Russell)."""
    field = field_of(2, degree)
    powers = next(found for g in range(1, field.order) if (found := _powers(field.times, g, field.order - 1)))
    return [
        [(x + 1, field.plus(x, step) + 1) for x in range(field.order) if x < field.plus(x, step)] for step in powers
    ]


def _powers(times: Callable[[int, int], int], g: int, length: int) -> list[int] | None:
    """The first ``length`` powers of g, or ``None`` when they are not all different."""
    powers = [1]
    while len(powers) < length:
        powers.append(times(powers[-1], g))
    return powers if len(set(powers)) == length else None


def _reordered(rounds: Slots) -> Slots:
    """The order of rounds that exchanging two, or moving one, does not improve, the best of several starts."""
    teams = _most(rounds)
    tables = np.array([_opponents(games, teams) for games in rounds])
    rng = Random(0)
    best, tried = (_value(tables), list(range(len(rounds)))), 0
    while tried < MOST_EXCHANGES:
        order = list(range(len(rounds)))
        rng.shuffle(order)
        found, spent = _improved(tables, order, MOST_EXCHANGES - tried)
        best, tried = min(best, found), tried + spent
    return [rounds[place] for place in best[1]]


def _improved(tables: NDArray[np.int64], order: list[int], budget: int) -> tuple[tuple[int, list[int]], int]:
    """Take every exchange of two rounds that lowers the value, until none does; with what it cost in trials."""
    value, spent, fresh = _value(tables[order]), 1, True
    while fresh and spent < budget:
        fresh = False
        for a in range(len(order)):
            for b in range(a + 1, len(order)):
                order[a], order[b] = order[b], order[a]
                spent += 1
                trial = _value(tables[order])
                if trial < value:
                    value, fresh = trial, True
                else:
                    order[a], order[b] = order[b], order[a]
    return (value, order), spent
