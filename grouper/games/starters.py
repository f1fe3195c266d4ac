"""Rounds from a starter of Z_m with low carry-over (I. Anderson, Balancing carry-over effects in tournaments, 1999).

A starter pairs 1 to m - 1, m odd, so that the differences are all different; turned by r it is round r, and whoever it
leaves out, r itself, meets the last team, m. All steps of one difference are then carried over equally often, so that a
good starter spreads them: for 20 and 22 teams as evenly as can be.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from grouper.games.pairing import Pair, Slots

CATALOGUE = Path(__file__).with_name("starters.json")


@cache
def catalogue() -> dict[int, tuple[Pair, ...]]:
    """The starters by the number of teams."""
    found = json.loads(CATALOGUE.read_text("utf-8"))
    return {int(teams): tuple((x, y) for x, y in pairs) for teams, pairs in found.items()}


def rounds_of(starter: tuple[Pair, ...]) -> Slots:
    """The rounds of a starter, teams from 1.

    >>> rounds_of(((1, 2),))
    [[(1, 4), (2, 3)], [(2, 4), (3, 1)], [(3, 4), (1, 2)]]
    """
    m = 2 * len(starter) + 1
    return [
        [(turn + 1, m + 1), *(((x + turn) % m + 1, (y + turn) % m + 1) for x, y in starter)] for turn in range(m)
    ]
