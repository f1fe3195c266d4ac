"""Carry-over: how often a team meets somebody straight after the same other team did.

Source: K. G. Russell, Balancing carry-over effects in round robin tournaments, Biometrika 67, 1980.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from random import Random
from typing import TYPE_CHECKING

from grouper.engines.designs.field import ExtensionField, PrimeField, field_of, prime_powers
from grouper.errors import OurBugError
from grouper.games.rounds import Pair, Slots, catalogued, circle_rounds, improved_order

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

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


def _opponents(games: Sequence[Pair], teams: int) -> NDArray[np.int64]:
    """For each team (from 0) its opponent, or ``teams`` for none."""
    import numpy as np

    table = np.full(teams, teams, dtype=np.int64)
    for home, away in games:
        table[home - 1], table[away - 1] = away - 1, home - 1
    return table


def _value(tables: NDArray[np.int64]) -> int:
    """Count each (opponent now, opponent next) over all teams and rounds; nobody (the last number) is left out."""
    import numpy as np

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
        field = field_of(2, factors[0][1])
        return [
            [(x + 1, field.plus(x, step) + 1) for x in range(field.order) if x < field.plus(x, step)]
            for step in powers_of_primitive(field)
        ]
    if teams in catalogued("starters"):
        return rounds_of(catalogued("starters")[teams])
    return _reordered(circle_rounds(teams), teams)


def rounds_of(starter: Sequence[Pair]) -> Slots:
    """The rounds of a starter of Z_m, teams from 1 (I. Anderson, Balancing carry-over effects in tournaments, 1999).

    A starter pairs 1 to m - 1, m odd, so that the differences are all different; turned by r it is round r, and whoever
    it leaves out, r itself, meets the last team, m. All steps of one difference are then carried over equally often, so
    that a good starter spreads them: for 20 and 22 teams as evenly as can be.

    >>> rounds_of(((1, 2),))
    [[(1, 4), (2, 3)], [(2, 4), (3, 1)], [(3, 4), (1, 2)]]
    """
    m = 2 * len(starter) + 1
    return [[(turn + 1, m + 1), *(((x + turn) % m + 1, (y + turn) % m + 1) for x, y in starter)] for turn in range(m)]


def powers_of_primitive(field: PrimeField | ExtensionField) -> list[int]:
    """1, g, g^2, ... for the first element g whose powers are all elements but 0."""
    for g in range(1, field.order):
        powers = [1]
        while len(powers) < field.order - 1:
            powers.append(field.times(powers[-1], g))
        if len(set(powers)) == len(powers):
            return powers
    raise OurBugError("no element generates the field of {order}", order=field.order)


def _reordered(rounds: Slots, teams: int) -> Slots:
    """The order of rounds that exchanging two does not improve, the best of several starts."""
    import numpy as np  # not needed for any other order of games, and slow to load

    tables = np.array([_opponents(games, teams) for games in rounds])
    rng = Random(0)
    best, tried = (_value(tables), list(range(len(rounds)))), 0
    while tried < MOST_EXCHANGES:
        order = list(range(len(rounds)))
        rng.shuffle(order)
        value, found, spent = improved_order(order, lambda order: _value(tables[order]), MOST_EXCHANGES - tried)
        best, tried = min(best, (value, found)), tried + spent
    return [rounds[place] for place in best[1]]
