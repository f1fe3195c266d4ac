"""The circle method: rounds in which every team plays, with the fewest breaks.

Sources: T. P. Kirkman (1847) for the rounds; D. de Werra, Scheduling in sports (1981) for homes with n - 2 breaks.
"""

from __future__ import annotations

from grouper.games.pairing import Pair, Slots, reversed_homes


def circle_rounds(teams: int) -> Slots:
    """All rounds of a single leg, homes set for the fewest breaks: n - 2 for even ``teams``, none for odd.

    Round i of m pairs up i - k and i + k (mod m); for even ``teams`` the last team meets the one left over.
    """
    m = teams - 1 + teams % 2
    return [circle_round(teams, centre) for centre in reversed(range(m))]


def circle_round(teams: int, centre: int) -> list[Pair]:
    """The round around a centre: the game of the last team first where ``teams`` is even, then outwards."""
    m = teams - 1 + teams % 2
    games = [_around(m, centre, k) for k in range(1, (m + 1) // 2)]
    return games if teams % 2 else [_with_last(teams, centre), *games]


def _around(m: int, centre: int, k: int) -> Pair:
    """Teams at distance k on both sides; turning the side at home with k makes everyone alternate."""
    ahead, behind = (centre + k) % m + 1, (centre - k) % m + 1
    return (ahead, behind) if k % 2 else (behind, ahead)


def _with_last(teams: int, centre: int) -> Pair:
    return (teams, centre + 1) if centre % 2 == 0 else (centre + 1, teams)


def in_legs(leg: Slots, legs: int) -> Slots:
    """One leg after another, every second one with homes exchanged and turned so that few breaks arise."""
    rounds = list(leg)
    for number in range(1, legs):
        following = reversed_homes(leg) if number % 2 else leg
        rounds += _turned_well(rounds, following)
    return rounds


def _turned_well(before: Slots, leg: Slots) -> Slots:
    """The turn of ``leg`` with the fewest breaks in which nobody meets the same team twice running."""
    turns = [leg[start:] + leg[:start] for start in range(len(leg))]
    fresh = [turn for turn in turns if not _same_games(before[-1], turn[0])] or turns
    return min(fresh, key=lambda turn: breaks_in(before + turn))


def _same_games(one: list[Pair], other: list[Pair]) -> bool:
    return {frozenset(pair) for pair in one} == {frozenset(pair) for pair in other}


def breaks_in(slots: Slots) -> int:
    """How often a team is at home, or away, in two of its games running."""
    last: dict[int, bool] = {}
    breaks = 0
    for games in slots:
        for pair in games:
            for team, home in zip(pair, (True, False), strict=True):
                breaks += last.get(team) is home
                last[team] = home
    return breaks
