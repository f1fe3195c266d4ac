"""Games in a row such that everyone's next game is as far off as can be, for fewer courts than games of a round.

With n teams, two games of a team are n/2 apart in the row, at most one more or less (n even), or (n - 1)/2 and at
most one more (n odd). So any games in a row that the courts can hold go on at once, everyone waits as long as
everyone else, and
after every game no two teams differ by more than one game. For one court this is the problem of W. Suksompong,
Scheduling asynchronous round-robin tournaments, Operations Research Letters 44 (2016).
"""

from __future__ import annotations

from grouper.games.circle import circle_round
from grouper.games.pairing import Pair, Slots, reversed_homes

Circuit = list[int]


def even_turns(teams: int, legs: int) -> list[Pair]:
    """The row of all games for an even number of teams.

    Circle rounds, the first from its centre outwards, in each later one those first who have waited longest.
    """
    rounds = in_order_of_centres(teams, legs)
    row = list(rounds[0])
    last = _last_places(row)
    for games in rounds[1:]:
        games = sorted(games, key=lambda pair: sorted((last[pair[0]], last[pair[1]])))
        last.update(_last_places(games, len(row)))
        row += games
    return row


def in_order_of_centres(teams: int, legs: int) -> Slots:
    """Circle rounds whose centres follow each other through all legs, each leg with homes exchanged."""
    m = teams - 1
    leg = [circle_round(teams, centre) for centre in reversed(range(m))]
    return [games for number in range(legs) for games in (reversed_homes(leg) if number % 2 else leg)]


def _last_places(games: list[Pair], start: int = 0) -> dict[int, int]:
    return {team: start + place for place, pair in enumerate(games) for team in pair}


def odd_turns(teams: int, legs: int) -> list[Pair]:
    """The row of all games for an odd number of teams: round trips through all teams, every second step first.

    The round trips are Walecki's (E. Lucas, Recreations mathematiques II, 1883); each starts where nobody's wait from
    the one before leaves the bounds.
    """
    trips = _round_trips(teams) * legs
    row = _every_second(trips[0])
    for trip in trips[1:]:
        row += _joined(row[-teams:], trip)
    return row


def _round_trips(teams: int) -> list[Circuit]:
    """(n - 1)/2 closed walks through all teams that together use every pair once."""
    m = teams - 1
    zigzag = [0]
    for step in range(1, m // 2):
        zigzag += [step, m - step]
    zigzag.append(m // 2)
    return [[teams, *((place + turn) % m + 1 for place in zigzag)] for turn in range(m // 2)]


def _every_second(trip: Circuit) -> list[Pair]:
    n = len(trip)
    return [(trip[2 * k % n], trip[(2 * k + 1) % n]) for k in range(n)]


def _joined(before: list[Pair], trip: Circuit) -> list[Pair]:
    """The games of ``trip``, begun at the place and in the direction that fit best after the games ``before``."""
    starts = [way[start:] + way[:start] for way in (trip, trip[::-1]) for start in range(len(trip))]
    return min(map(_every_second, starts), key=lambda games: _misfit(before, games))


def _misfit(before: list[Pair], after: list[Pair]) -> tuple[int, int]:
    """How much too near, and how far, the nearest and farthest two games of a team are across the joint."""
    last = _last_places(before)
    first = _last_places(after[::-1])
    n = len(before)
    gaps = [n + (n - 1 - first[team]) - last[team] for team in last]
    return (-min(gaps), max(gaps))
