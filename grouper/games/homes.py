"""Home and away: even to one for every team over the whole day, and with few breaks.

The games of a team are taken two by two in order of play, and one of the two is at home: the games then fall into
trails that only have to be walked along (the idea of Euler's trails), and each trail may be walked either way.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from grouper.games.rounds import Pair, Slots, breaks_in
from grouper.planning.turns import shortest_chain

Place = tuple[int, int]
"""A slot and the number of a game in it, both from 0."""


@dataclass
class _Homes:
    """The games of the rest of a day while their homes are being settled; those in ``before`` are fixed."""

    before: Slots
    rest: Slots
    surplus: dict[int, int] = field(default_factory=lambda: defaultdict(int))

    def __post_init__(self) -> None:
        for home, away in (pair for games in [*self.before, *self.rest] for pair in games):
            self.surplus[home] += 1
            self.surplus[away] -= 1

    def turn(self, place: Place) -> None:
        """Exchange home and away of one game."""
        home, away = self.rest[place[0]][place[1]]
        self.rest[place[0]][place[1]] = (away, home)
        self.surplus[home] -= 2
        self.surplus[away] += 2

    def turn_all(self, places: Iterable[Place]) -> None:
        for place in places:
            self.turn(place)

    def cost(self) -> tuple[int, int]:
        """By how much teams are further than one from even, then breaks."""
        excess = sum(max(0, abs(surplus) - 1) for surplus in self.surplus.values())
        return excess, breaks_in(self.before + self.rest)


def settled_homes(rest: Slots, before: Sequence[Sequence[Pair]] = ()) -> Slots:
    """The games of ``rest`` with home and away settled, those of ``before`` taken into account.

    Examples
    --------
    >>> settled_homes([[(1, 2)], [(1, 3)], [(2, 3)]])
    [[(1, 2)], [(3, 1)], [(2, 3)]]
    """
    homes = _Homes([list(games) for games in before], [list(games) for games in rest])
    trails = _walked_trails(homes.rest)
    # Whole trails are turned round, one after another, for as long as that helps (at most four times each).
    cost = homes.cost()
    for _ in range(4):
        stood = cost
        for trail in trails:
            homes.turn_all(trail)
            turned = homes.cost()
            if turned < cost:
                cost = turned
            else:
                homes.turn_all(trail)
        if cost == stood:
            break
    return evened_homes(homes.rest, before)


def evened_homes(rest: Slots, before: Sequence[Sequence[Pair]] = ()) -> Slots:
    """The games of ``rest`` with as few homes exchanged as bring every team within one of even."""
    homes = _Homes([list(games) for games in before], [list(games) for games in rest])
    while path := _evening_path(homes):
        homes.turn_all(path)
    return homes.rest


def _walked_trails(rest: Slots) -> list[list[Place]]:
    """Orient the games along trails, in place; which games each trail has."""
    partner = _partners(rest)
    unseen = dict.fromkeys((s, g) for s, games in enumerate(rest) for g in range(len(games)))
    trails = []
    # Games in which a team has no partner game begin a trail, so they come first.
    for start in sorted(unseen, key=lambda at: all((team, at) in partner for team in rest[at[0]][at[1]])):
        if start in unseen:
            trails.append(_walk(start, rest, partner, unseen))
    return trails


def _partners(rest: Slots) -> dict[tuple[int, Place], Place]:
    """For a team and a game, the other game of the two of which it is at home in one."""
    waiting: dict[int, Place] = {}
    partner: dict[tuple[int, Place], Place] = {}
    for s, games in enumerate(rest):
        for g, pair in enumerate(games):
            for team in pair:
                other = waiting.pop(team, None)
                if other is None:
                    waiting[team] = (s, g)
                else:
                    partner[team, (s, g)], partner[team, other] = other, (s, g)
    return partner


def _walk(start: Place, rest: Slots, partner: dict[tuple[int, Place], Place], unseen: dict[Place, None]) -> list[Place]:
    home, away = rest[start[0]][start[1]]
    team = away if (away, start) not in partner else home
    place: Place | None = start
    trail = []
    while place is not None and place in unseen:
        del unseen[place]
        trail.append(place)
        one, two = rest[place[0]][place[1]]
        other = two if team == one else one
        rest[place[0]][place[1]] = (team, other)
        team, place = other, partner.get((other, place))
    return trail


def _evening_path(homes: _Homes) -> list[Place] | None:
    """Games to exchange, from a team too often at home to one less so; or none when all is even."""
    for team in sorted(homes.surplus, key=lambda t: (-abs(homes.surplus[t]), t)):
        if abs(homes.surplus[team]) >= 2 and (path := _path_from(team, homes)):
            return path
    return None


def _path_from(team: int, homes: _Homes) -> list[Place] | None:
    """A shortest chain of games that takes one home too many, or too few, from ``team`` to a team that can bear it."""
    sign = 1 if homes.surplus[team] > 0 else -1
    steps: dict[int, list[tuple[int, Place]]] = defaultdict(list)
    for s, games in enumerate(homes.rest):
        for g, (home, away) in enumerate(games):
            here, there = (home, away) if sign > 0 else (away, home)
            steps[here].append((there, (s, g)))
    # The last team takes on two: it must not end further from even than the first one was.
    most = min(0, sign * homes.surplus[team] - 3)
    return shortest_chain(team, lambda here: steps[here], lambda here: sign * homes.surplus[here] <= most)
