"""Balanced tournament designs: rounds of 2n teams on n courts, no team more than twice on a court.

They exist for all n but 2 (P. J. Schellenberg, G. H. J. van Rees and S. A. Vanstone, The existence of balanced
tournament designs, Ars Combinatoria 3, 1977). Here the rounds stay those of the circle method, so that breaks stay at
their minimum.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from grouper.games.court_use import Courts, settled_courts
from grouper.games.pairing import Slots

CATALOGUE = Path(__file__).with_name("balanced_courts.json")


def courts_of_rounds(rounds: Slots, teams: int) -> Courts:
    """A court for each game of one leg of circle rounds, all courts in use.

    Odd ``teams``: everyone exactly twice on every court. Even: at most twice, where the rounds allow a design that is
    known here (up to 22 teams, and 2n teams with 2n - 1 no multiple of 3); else as even as exchanges make it.
    """
    if teams % 2:
        return [list(range(1, len(games) + 1)) for games in rounds]
    design = _design(teams)
    if design is None:
        return settled_courts(rounds, range(1, teams // 2 + 1))
    return [[court + 1 for court in design[centre]] for centre in reversed(range(teams - 1))]


def _design(teams: int) -> Courts | None:
    """For each centre, the court (from 0) of the game k steps around it; ``None`` where no design is at hand."""
    if (teams - 1) % 3:
        return _starter_design(teams)
    half = _catalogue().get(teams)
    return half and _mirrored(half, teams - 1)


def _starter_design(teams: int) -> Courts:
    """Courts by distance, which only wears out court 0 of the last team; its games change places with those k around.

    In rounds a and -a the last team takes court k = 2a, of the starter {a, -a}. That keeps everyone at two where 3a and
    -3a are all different, so where m is no multiple of 3 (J. Haselgrove and J. Leech, A tournament design problem,
    American Mathematical Monthly 84, 1977).
    """
    m = teams - 1
    design = [list(range(teams // 2)) for _ in range(m)]
    for centre in range(1, m):
        k = min(2 * centre % m, -2 * centre % m)
        design[centre][0], design[centre][k] = k, 0
    return design


def _mirrored(half: Courts, m: int) -> Courts:
    """Round -a has the courts of round a."""
    return [half[min(centre, m - centre)] for centre in range(m)]


@cache
def _catalogue() -> dict[int, Courts]:
    """Rounds 0 to (m - 1)/2 for numbers of teams whose m = teams - 1 is a multiple of 3; see `balanced_search`."""
    return {int(teams): rounds for teams, rounds in json.loads(CATALOGUE.read_text("utf-8")).items()}
