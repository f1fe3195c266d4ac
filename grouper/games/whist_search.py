"""Makes the catalogue of 2v2 base rounds: ``python -m grouper.games.whist_search``.

A base round, developed by adding 1, 2, ... to every player modulo m, is a whole rotation when its partners have all
differences once and its opponents all differences twice (E. H. Moore 1896; I. Anderson, Combinatorial Designs and
Tournaments, 1997). Partners with different differences are a starter, found by hill-climbing (J. H. Dinitz and
D. R. Stinson 1981); exact cover then joins the pairs into tables. Starters are tried until one can be joined.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from random import Random

from grouper.errors import OutOfTimeError
from grouper.games.whist import CATALOGUE, FIXED, Table

Duo = tuple[int, int]

MOST_STARTERS = 2000
MOST_STEPS = 20000
MOST_JOINTS = 3000


def search_base_round(players: int) -> list[Table]:
    """The tables of a base round on 0 to m - 1, with FIXED for the player who never moves (players divisible by 4).

    Where players leave 2 or 3 over when divided by 4, one difference stays unused: no two players partner twice.
    """
    rng = Random(0)
    for _ in range(MOST_STARTERS):
        duos = _starter(players, rng)
        tables = duos and joined_in_tables(duos, modulus(players))
        if tables:
            return tables
    raise OutOfTimeError(f"no 2v2 base round for {players} players was found in the time allowed")


def modulus(players: int) -> int:
    """How many players move round."""
    return players - 1 if players % 4 == 0 else players


def _starter(players: int, rng: Random) -> list[Duo] | None:
    """Partners with all differences once, those who rest left out."""
    m = modulus(players)
    differences = list(range(1, (m - 1) // 2 + 1))
    resting = [0, *rng.sample(range(1, m), max(0, players % 4 - 1))]
    if players % 4 == 3:
        differences.remove(rng.choice(differences))
    duos = _Climb(m, set(resting), differences, rng).run()
    return duos and ([*duos, (0, FIXED)] if players % 4 == 0 else duos)


@dataclass
class _Climb:
    """Hill-climbing: give a free player a partner at a free difference, who leaves a former partner if need be."""

    m: int
    resting: set[int]
    differences: list[int]
    rng: Random
    partner: dict[int, int] = field(default_factory=dict)
    duo_of: dict[int, Duo] = field(default_factory=dict)

    def run(self) -> list[Duo] | None:
        for _ in range(MOST_STEPS):
            if len(self.duo_of) == len(self.differences):
                return sorted(self.duo_of.values())
            self._step()
        return None

    def _step(self) -> None:
        x = self.rng.choice([p for p in range(self.m) if p not in self.resting and p not in self.partner])
        difference = self.rng.choice([d for d in self.differences if d not in self.duo_of])
        y = (x + (difference if self.rng.random() < 0.5 else -difference)) % self.m
        if y in self.resting:
            return
        if y in self.partner:
            z = self.partner.pop(y)
            del self.partner[z]
            del self.duo_of[distance(y, z, self.m)]
        self.partner[x], self.partner[y] = y, x
        self.duo_of[difference] = (x, y)


def distance(a: int, b: int, m: int) -> int:
    """The difference of two players modulo m, the smaller way round; 0 with the player who never moves."""
    return 0 if FIXED in (a, b) else min((a - b) % m, (b - a) % m)


def joined_in_tables(duos: list[Duo], m: int) -> list[Table] | None:
    """Two duos to a table so that opponents have no difference more than twice (m/2 once)."""
    return _Joiner(duos, m).join(list(range(len(duos))))


class _Joiner:
    """Depth-first: the duo with the fewest possible opponents next, for a limited number of steps."""

    def __init__(self, duos: list[Duo], m: int) -> None:
        self.duos = duos
        self.room = [2] * (m // 2 + 1)
        if m % 2 == 0:
            self.room[m // 2] = 1
        self.opposed = [[[distance(a, b, m) for a in one for b in two] for two in duos] for one in duos]
        self.tried = 0

    def join(self, left: list[int]) -> list[Table] | None:
        self.tried += 1
        if not left:
            return []
        if self.tried > MOST_JOINTS:
            return None
        i, others = self._tightest(left)
        for j in others:
            self._use(i, j, 1)
            rest = self.join([duo for duo in left if duo not in (i, j)])
            if rest is not None:
                return [(self.duos[i], self.duos[j]), *rest]
            self._use(i, j, -1)
        return None

    def _tightest(self, left: list[int]) -> tuple[int, list[int]]:
        fewest: tuple[int, list[int]] | None = None
        for i in left:
            others = [j for j in left if j != i and self._fits(i, j)]
            if fewest is None or len(others) < len(fewest[1]):
                fewest = (i, others)
            if not others:
                break
        return fewest or (left[0], [])

    def _use(self, i: int, j: int, times: int) -> None:
        for difference in self.opposed[i][j]:
            self.room[difference] -= times

    def _fits(self, i: int, j: int) -> bool:
        self._use(i, j, 1)
        fits = all(self.room[difference] >= 0 for difference in self.opposed[i][j])
        self._use(i, j, -1)
        return fits


if __name__ == "__main__":
    found = {players: search_base_round(players) for players in range(5, 41) if players != 9}
    CATALOGUE.write_text(json.dumps(found, separators=(",", ":")) + "\n", "utf-8")
