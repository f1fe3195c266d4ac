"""Round robins as rows of pairs and slots: the circle method, the Berger tables, and rows for few courts.

A pair names two teams, from 1, the first at home. Sources: T. P. Kirkman (1847) for the rounds of the circle method,
D. de Werra, Scheduling in sports (1981) for homes with n - 2 breaks; FIDE Handbook C.05, Annex 1 for the Berger tables.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from functools import cache, partial
from itertools import combinations, pairwise
from math import inf
from pathlib import Path
from typing import Any, TypeVar

from grouper.engines.designs.design import around

Pair = tuple[int, int]
Slots = list[list[Pair]]
Game = TypeVar("Game")


def reversed_homes(rounds: Iterable[Sequence[Pair]]) -> Slots:
    """The same games with home and away exchanged."""
    return [[(away, home) for home, away in games] for games in rounds]


def played_in(slots: Iterable[Iterable[Pair]]) -> Counter[int]:
    """How many games each team has in the slots."""
    return Counter(team for games in slots for pair in games for team in pair)


def breaks_in(slots: Slots) -> int:
    """How often a team is at home, or away, in two of its games running."""
    last: dict[int, bool] = {}
    breaks = 0
    for games in slots:
        for home, away in games:
            breaks += (last.get(home) is True) + (last.get(away) is False)
            last[home], last[away] = True, False
    return breaks


def longest_wait(slots: Sequence[Sequence[Pair]], teams: Sequence[int]) -> int:
    """The most slots running in which one of the teams has no game, before its first and after its last included."""
    last = dict.fromkeys(teams, -1)
    longest = 0
    for place, games in enumerate(slots):
        for team in (team for pair in games for team in pair if team in last):
            longest = max(longest, place - last[team] - 1)
            last[team] = place
    # Who has played for the last time waits to the end, too.
    return max([longest, *(len(slots) - place - 1 for place in last.values())])


def packed(sequence: Sequence[Game], at_once: int, players: Callable[[Game], Iterable[int]]) -> list[list[Game]]:
    """Games in the order given, each in the first slot from the current one on that is free for it.

    A slot takes the earliest games left that fit; order is kept as far as none of the ``players`` plays twice at once.
    """
    slots: list[list[Game]] = []
    left = list(sequence)
    while left:
        taken: list[Game] = []
        later: list[Game] = []
        busy: set[int] = set()
        for game in left:
            if len(taken) < at_once and busy.isdisjoint(players(game)):
                taken.append(game)
                busy.update(players(game))
            else:
                later.append(game)
        slots.append(taken)
        left = later
    return slots


def improved_order(
    order: list[int], cost: Callable[[list[int]], int], budget: float = inf
) -> tuple[int, list[int], int]:
    """What an order costs that no exchange of two makes cheaper, that order, and how many were tried.

    Taken from ``order`` exchange by exchange; after ``budget`` trials no further sweep is begun.
    """
    value, tried, better = cost(order), 1, True
    while better and tried < budget:
        better = False
        for a, b in combinations(range(len(order)), 2):
            order[a], order[b] = order[b], order[a]
            changed, tried = cost(order), tried + 1
            if changed < value:
                value, better = changed, True
            else:
                order[a], order[b] = order[b], order[a]
    return value, order, tried


def cut_in_slots(row: Sequence[Pair], at_once: int) -> Slots:
    """The fewest slots for a row whose games may go on at once when no more than ``at_once`` apart.

    The places that stay empty are at the end, unless waits are shorter with them at the start or spread out.
    """
    count = -(-len(row) // at_once)
    at_the_end = [min(place * at_once, len(row)) for place in range(count + 1)]
    at_the_start = [len(row) - place for place in reversed(at_the_end)]
    spread = [len(row) * place // count for place in range(count + 1)]
    spread_back = [len(row) - place for place in reversed(spread)]
    teams = sorted(played_in([row]))
    cuts = [
        [list(row[start:end]) for start, end in pairwise(ends)]
        for ends in (at_the_end, at_the_start, spread, spread_back)
    ]
    return min(cuts, key=lambda slots: longest_wait(slots, teams))


def circle_round(teams: int, centre: int) -> list[Pair]:
    """The round around a centre: the game of the last team first where ``teams`` is even, then outwards.

    The side at home turns with the distance from the centre, which makes everyone alternate.
    """
    across = around(teams - 1 + teams % 2, centre)
    games = [(a + 1, b + 1) if k % 2 else (b + 1, a + 1) for k, (a, b) in enumerate(across, start=1)]
    if teams % 2:
        return games
    return [(centre + 1, teams) if centre % 2 else (teams, centre + 1), *games]


def circle_rounds(teams: int) -> Slots:
    """All rounds of a single leg, homes set for the fewest breaks: n - 2 for even ``teams``, none for odd."""
    return [circle_round(teams, centre) for centre in reversed(range(teams - 1 + teams % 2))]


def in_legs(leg: Slots, legs: int) -> Slots:
    """One leg after another, every second one with homes exchanged and turned so that few breaks arise."""
    rounds: Slots = list(leg)
    for number in range(1, legs):
        other = reversed_homes(leg) if number % 2 else leg
        turns = [other[start:] + other[:start] for start in range(len(leg))]
        # Nobody is to meet the same team twice running.
        last = set(map(frozenset, rounds[-1]))
        fresh = [turn for turn in turns if set(map(frozenset, turn[0])) != last] or turns
        rounds = min((rounds + turn for turn in fresh), key=breaks_in)
    return rounds


def berger_rounds(teams: int) -> Slots:
    """The rounds of the Berger table; with an odd number of teams the highest number of the table sits out.

    >>> berger_rounds(4)
    [[(1, 4), (2, 3)], [(4, 3), (1, 2)], [(2, 4), (3, 1)]]
    """
    entries, rounds = teams + teams % 2, []
    for number in range(entries - 1):
        k = (number + 1) // 2 + entries // 2 if number % 2 else number // 2 + 1
        first = (entries, k) if number % 2 else (k, entries)
        games = [first, *((a + 1, b + 1) for a, b in around(entries - 1, k - 1))]
        rounds.append([pair for pair in games if max(pair) <= teams])
    return rounds


def zigzag(size: int) -> list[int]:
    """0, 1, -1, 2, -2, ... modulo ``size``: its steps are all different for even ``size``."""
    return [(step + 1) // 2 % size if step % 2 else -(step // 2) % size for step in range(size)]


def even_turns(teams: int, legs: int) -> list[Pair]:
    """The row of all games for an even number of teams and fewer courts than a round has games.

    Circle rounds whose centres follow each other through all legs, each leg with homes exchanged; the first from its
    centre outwards, in each later one those first who have waited longest. Two games of a team are n/2 apart in the
    row, at most one more or less, so that any games in a row that the courts can hold go on at once, everyone waits as
    long as everyone else, and after every game no two teams differ by more than one game. For one court this is the
    problem of W. Suksompong, Scheduling asynchronous round-robin tournaments, Operations Research Letters 44 (2016).
    """
    leg = circle_rounds(teams)
    row: list[Pair] = []
    last: dict[int, int] = {}
    for number in range(legs):
        for games in reversed_homes(leg) if number % 2 else leg:
            in_turn = sorted(games, key=lambda pair: sorted((last[pair[0]], last[pair[1]]))) if row else games
            last.update(_last_places(in_turn, len(row)))
            row += in_turn
    return row


def _last_places(games: Sequence[Pair], start: int = 0) -> dict[int, int]:
    return {team: start + place for place, pair in enumerate(games) for team in pair}


def odd_turns(teams: int, legs: int) -> list[Pair]:
    """The same for an odd number of teams: round trips through all teams, every second step first.

    Here two games of a team are (n - 1)/2 apart, at most one more. The round trips are Walecki's (E. Lucas, Recreations
    mathematiques II, 1883): closed walks through all teams that together use every pair once. Each starts where
    nobody's wait from the one before leaves the bounds.
    """
    m = teams - 1
    trips = [[teams, *((place + turn) % m + 1 for place in zigzag(m))] for turn in range(m // 2)] * legs
    row = _every_second(trips[0])
    for trip in trips[1:]:
        ways = [way[start:] + way[:start] for way in (trip, trip[::-1]) for start in range(teams)]
        row += min([_every_second(way) for way in ways], key=partial(_misfit, _last_places(row[-teams:])))
    return row


def _every_second(trip: list[int]) -> list[Pair]:
    n = len(trip)
    return [(trip[2 * k % n], trip[(2 * k + 1) % n]) for k in range(n)]


def _misfit(last: dict[int, int], after: Sequence[Pair]) -> tuple[int, int]:
    """How much too near, and how far, the nearest and farthest two games of a team are across the joint."""
    first = _last_places(after[::-1])
    gaps = [2 * len(after) - 1 - first[team] - last[team] for team in last]
    return (-min(gaps), max(gaps))


CATALOGUE = Path(__file__).with_name("catalogue.json")
"""What takes a search and is kept: balanced courts, starters with low carry-over, base rounds of two against two.

``tests/bench/play_catalogue.py`` makes it; the tests check what it left there."""


@cache
def catalogued(what: str) -> dict[int, Any]:
    """The entries of one kind (``courts``, ``starters``, ``doubles``) by the number of teams or players."""
    return {int(number): entry for number, entry in json.loads(CATALOGUE.read_text("utf-8"))[what].items()}
