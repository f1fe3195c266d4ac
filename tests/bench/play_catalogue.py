"""Makes what ``grouper/games/catalogue.json`` holds: ``python tests/bench/play_catalogue.py [KIND ...]``.

- Courts: an exact search (CP-SAT) over the courts of circle rounds, with round -a like round a to make it small: under
  a second for 10 and 16 teams, some ten seconds for 22.
- Doubles: a base round of two against two, developed by adding 1, 2, ... to every player modulo m, is a whole rotation
  when its partners have all differences once and its opponents all differences twice (E. H. Moore 1896; I. Anderson,
  Combinatorial Designs and Tournaments, 1997). Partners with different differences are a starter, found by
  hill-climbing (J. H. Dinitz and D. R. Stinson 1981); exact cover then joins the pairs into tables. Starters are tried
  until one can be joined.
- Starters with low carry-over: every one of Z_m for up to 22 teams (a minute), drawn ones beyond (a few minutes).

The tests check what it left in the catalogue, and that some of it can be made again.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from random import Random
from typing import Any

from grouper.errors import OutOfTimeError
from grouper.games.carry_over import carry_over_value, rounds_of
from grouper.games.courts import Courts
from grouper.games.doubles import FIXED, Table
from grouper.games.rounds import CATALOGUE, Pair

Duo = tuple[int, int]
Starter = tuple[Pair, ...]

MOST_TIME = 600.0
MOST_STARTERS, MOST_STEPS, MOST_JOINTS = 2000, 20000, 3000
ALL_STARTERS_UP_TO, DRAWN_UP_TO, STARTERS_DRAWN, DEAD_END = 22, 30, 100_000, 4000


def search_design(teams: int) -> Courts:
    """Courts of the rounds 0 to (m - 1)/2, for each the court of the game k steps around the centre (0: last team's).

    Raises
    ------
    OutOfTimeError
        When none is found within the deterministic time.
    """
    from ortools.sat.python import cp_model

    m, courts = teams - 1, range(teams // 2)
    model = cp_model.CpModel()
    on = {(a, k, c): model.new_bool_var("") for a in range(m // 2 + 1) for k in courts for c in courts}
    for a in range(m // 2 + 1):
        for k in courts:
            model.add_exactly_one(on[a, k, c] for c in courts)
            model.add_exactly_one(on[a, c, k] for c in courts)
    for c in courts:
        model.add(sum(on[_folded(a, m), 0, c] for a in range(m)) <= 2)
        for team in range(m):
            model.add(sum(on[_folded(a, m), _folded(a - team, m), c] for a in range(m)) <= 2)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.random_seed = 1, 0
    solver.parameters.max_deterministic_time = MOST_TIME
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise OutOfTimeError(f"no balanced design for {teams} teams was found in the time allowed")
    return [[next(c for c in courts if solver.value(on[a, k, c])) for k in courts] for a in range(m // 2 + 1)]


def _folded(a: int, m: int) -> int:
    return min(a % m, -a % m)


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


def all_starters(m: int) -> Iterator[Starter]:
    """Every way to pair 1 to m - 1 so that each difference from 1 to (m - 1)/2, around m, comes once."""
    return _starters(tuple(range(1, m)), m, frozenset(), ())


def _starters(free: tuple[int, ...], m: int, had: frozenset[int], pairs: Starter) -> Iterator[Starter]:
    if not free:
        yield pairs
        return
    x, *others = free
    for y in others:
        apart = min(y - x, m - y + x)
        if apart not in had:
            yield from _starters(tuple(o for o in others if o != y), m, had | {apart}, (*pairs, (x, y)))


def drawn_starter(m: int, chance: Random) -> Starter | None:
    """One at random, None where the draw ran into a dead end too often."""
    left = [DEAD_END]

    def grown(free: tuple[int, ...], had: frozenset[int], pairs: Starter) -> Starter | None:
        left[0] -= 1
        if not free or left[0] < 0:
            return pairs if not free else None
        x, *others = free
        for y in chance.sample(others, len(others)):
            apart = min(y - x, m - y + x)
            if apart not in had:
                found = grown(tuple(o for o in others if o != y), had | {apart}, (*pairs, (x, y)))
                if found is not None:
                    return found
        return None

    return grown(tuple(range(1, m)), frozenset(), ())


def search_starter(teams: int) -> Starter:
    """The starter for so many teams (even) with the lowest carry-over; the first of several."""
    m, chance = teams - 1, Random(teams)
    drawn = (drawn_starter(m, chance) for _ in range(STARTERS_DRAWN))
    tried = all_starters(m) if teams <= ALL_STARTERS_UP_TO else (starter for starter in drawn if starter)
    best: tuple[int, Starter] | None = None
    for starter in tried:
        value = carry_over_of(starter, m)
        if best is None or value < best[0]:
            best = value, starter
        if best[0] == teams * (teams - 1):
            break
    return best[1] if best else ()


def carry_over_of(starter: Starter, m: int) -> int:
    """The carry-over value of the rounds of a starter, from its differences alone.

    Between two rounds team y goes from f(y) to 1 + f(y - 1), f the starter's pairing and m's turn where there is none:
    all steps of one difference come equally often.
    """
    partner = {x: y for pair in starter for x, y in (pair, pair[::-1])}
    steps = [0] * m
    for y in range(2, m):
        steps[(1 + partner[y - 1] - partner[y]) % m] += 1
    steps[1] += 1
    # The last team comes once before and once after each other one.
    return m * (sum(times * times for times in steps) + 2)


def _starters_found() -> dict[int, Starter]:
    found = {teams: search_starter(teams) for teams in range(6, DRAWN_UP_TO + 1, 2) if teams & (teams - 1)}
    for teams, starter in found.items():
        if carry_over_value(rounds_of(starter)) != carry_over_of(starter, teams - 1):
            raise SystemExit(f"the two counts for {teams} teams differ")
    return found


MAKERS = {
    "courts": lambda: {teams: search_design(teams) for teams in (10, 16, 22)},
    "doubles": lambda: {players: search_base_round(players) for players in range(5, 41) if players != 9},
    "starters": _starters_found,
}


def main(kinds: list[str]) -> None:
    """Make these kinds anew and leave the others as they are."""
    kept: dict[str, Any] = json.loads(CATALOGUE.read_text("utf-8"))
    made = {kind: MAKERS[kind]() for kind in kinds}
    parts = []
    for kind, entries in sorted({**kept, **made}.items()):
        lines = (f'  "{number}": {json.dumps(entry, separators=(",", ":"))}' for number, entry in entries.items())
        parts.append(f' "{kind}": {{\n' + ",\n".join(lines) + "\n }")
    CATALOGUE.write_text("{\n" + ",\n".join(parts) + "\n}\n", "utf-8")


if __name__ == "__main__":
    main(sys.argv[1:] or sorted(MAKERS))
