"""Makes the catalogue of starters with low carry-over: ``python -m grouper.games.starter_search``.

Every starter of Z_m for up to 22 teams is tried (a minute), drawn ones beyond (a few minutes); the tests check what it
left in the catalogue.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from random import Random

from grouper.games.carry_over import carry_over_value
from grouper.games.pairing import Pair
from grouper.games.starters import CATALOGUE, rounds_of

ALL_UP_TO, DRAWN_UP_TO, DRAWS, DEAD_END = 22, 30, 100_000, 4000

Starter = tuple[Pair, ...]


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


def search(teams: int) -> Starter:
    """The starter for so many teams (even) with the lowest carry-over; the first of several."""
    m, chance = teams - 1, Random(teams)
    drawn = (drawn_starter(m, chance) for _ in range(DRAWS))
    tried = all_starters(m) if teams <= ALL_UP_TO else (starter for starter in drawn if starter)
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


if __name__ == "__main__":
    found = {teams: search(teams) for teams in range(6, DRAWN_UP_TO + 1, 2) if teams & (teams - 1)}
    for teams, starter in found.items():
        if carry_over_value(rounds_of(starter)) != carry_over_of(starter, teams - 1):
            raise SystemExit(f"the two counts for {teams} teams differ")
    CATALOGUE.write_text(json.dumps(found, separators=(",", ":")) + "\n", "utf-8")
