"""Scoring that levels a game between uneven teams: points to start with, and a zone that counts double.

How likely the weaker team is to win a point comes from the teams' average ratings, by the curve and scale with which
ratings are learnt from games (``grouper.learning.team_model``). From it the chance to win the game is exact; a draw
counts half. Points are won one by one, each by the same side with the same chance, whatever was before. With a bonus
zone a share of one side's points is made from there and counts double. Games to a number of points go through every
score on the way (dynamic programming); timed games are sums over how the points may fall.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import comb

from grouper.errors import require
from grouper.learning.guesses import scale_of
from grouper.learning.team_model import ELO_PER_STEP, expected_score
from grouper.model.roster import Roster

MOST_POINTS = 200


@lru_cache(maxsize=64)
def race(point: float, target: int, zone: float = 0.0) -> tuple[tuple[float, ...], ...]:
    """The chance of one side to win a game to ``target`` points, by how many points each side still needs.

    Parameters
    ----------
    point : float
        The chance of this side to win a point.
    target : int
    zone : float
        The share of this side's points that counts double.

    Returns
    -------
    tuple of tuple of float
        ``[own][other]``: 1 where this side needs no more, 0 where the other does; both from 0 to ``target``.
    """
    # Who needs no more has won, whatever the other side still needs.
    table = [[1.0] * (target + 1)]
    for own in range(1, target + 1):
        row = [0.0]
        for other in range(1, target + 1):
            # A double point that is one more than needed wins like any other.
            scored = (1 - zone) * table[own - 1][other] + zone * table[max(own - 2, 0)][other]
            row.append(point * scored + (1 - point) * row[other - 1])
        table.append(row)
    return tuple(map(tuple, table))


@lru_cache(maxsize=64)
def leads(point: float, points: int, zone: float = 0.0) -> dict[int, float]:
    """The chances of each final lead of one side, its points less the other's, where so many points are made."""
    chances: dict[int, float] = {}
    for own in range(points + 1):
        for doubled in range(own + 1):
            lead = own + doubled - (points - own)
            chance = _binomial(points, own, point) * _binomial(own, doubled, zone)
            chances[lead] = chances.get(lead, 0.0) + chance
    return chances


def _binomial(tries: int, hits: int, chance: float) -> float:
    return float(comb(tries, hits) * chance**hits * (1 - chance) ** (tries - hits))


def race_chance(point: float, target: int, start: int = 0, zone: float = 0.0) -> float:
    """The chance of one side to be the first at ``target`` points.

    ``start`` are the points that this side starts with; below 0 the other side starts with them.

    Examples
    --------
    >>> race_chance(0.5, 11), race_chance(0.25, 1)
    (0.5, 0.25)
    """
    return race(point, target, zone)[target - max(start, 0)][target - max(-start, 0)]


def timed_chance(point: float, points: int, start: int = 0, zone: float = 0.0) -> float:
    """The chance of one side to be ahead after so many points were made, half of the chance of a draw included.

    Examples
    --------
    >>> timed_chance(0.5, 20), timed_chance(0.25, 1), timed_chance(0.25, 1, start=1)
    (0.5, 0.25, 0.625)
    """
    chances = leads(point, points, zone)
    ahead = sum(chance for lead, chance in chances.items() if lead + start > 0)
    return ahead + sum(chance for lead, chance in chances.items() if lead + start == 0) / 2


@dataclass(frozen=True)
class Play:
    """How a game is played.

    Parameters
    ----------
    points
        The number of points it goes to, or about how many are made in all where it is played on time.
    timed
        Whether it is played on time.
    zone
        The share of the weaker team's points that it makes from a zone where they count double; 0 for no zone.
    """

    points: int
    timed: bool
    zone: float = 0.0

    def __post_init__(self) -> None:
        most, what = MOST_POINTS, "a game has 1 to {most_points} points, got {points}"
        require(1 <= self.points <= most, what, most_points=most, points=self.points)
        what = "the share of points from the zone is {zone:g}"
        require(0 <= self.zone <= 1, what, "use 0 to 1, such as 0.3", zone=self.zone)

    @property
    def most_start(self) -> int:
        """The most points that a team can start with and the game still be one."""
        return self.points if self.timed else self.points - 1

    def chance(self, point: float, start: int = 0, zone: float = 0.0) -> float:
        """The chance to win of a team that wins a point with chance ``point``, a draw counting half."""
        return (timed_chance if self.timed else race_chance)(point, self.points, start, zone)


@dataclass(frozen=True)
class Handicap:
    """What levels a game: the points that the weaker team starts with (below 0: the stronger team starts with them).

    ``before`` is the weaker team's chance to win without any of it, ``after`` with the start and the zone.
    """

    start: int
    before: float
    after: float


def handicap(point: float, play: Play) -> Handicap:
    """The start that brings the chance of the weaker team nearest to one half; of two as near the smaller one.

    Parameters
    ----------
    point : float
        The chance of the weaker team to win a point.
    play : Play

    Examples
    --------
    >>> handicap(0.5, Play(11, timed=False))
    Handicap(start=0, before=0.5, after=0.5)
    """
    # Below 0 too: with a zone the weaker team may be the likelier to win.
    starts = range(-play.most_start, play.most_start + 1)
    best = min(starts, key=lambda start: (_off(play.chance(point, start, play.zone)), abs(start), start))
    return Handicap(best, play.chance(point), play.chance(point, best, play.zone))


def _off(chance: float) -> float:
    """How far from one half; a hair of rounding is not to make of two as near one that is nearer."""
    return round(abs(chance - 0.5), 12)


WIDER = (1.25, 1.5, 1.75, 2.0, 2.5, 3.0)
"""How many times as wide a target may be."""

MOST_MORE = 4
"""Players more than that are another game."""


@dataclass(frozen=True)
class EvenWay:
    """One way to even a game, and the weaker team's chance to win with it.

    ``kind`` is ``start`` (points to start with), ``zone`` (the share of its points that counts double), ``target`` (how
    many times as wide what it aims at is) or ``player`` (how many more it has), ``amount`` how much of it. ``learnt``
    names the targets of the two where results of the class tell what they do; ``amount`` is then in logits.
    """

    kind: str
    amount: float
    after: float
    learnt: str = ""

    @property
    def changes_nothing(self) -> bool:
        """Whether the game is nearest to even in this way as it is."""
        return not self.learnt and self.amount == (1 if self.kind == "target" else 0)


def even_ways(point: float, play: Play, size: int) -> tuple[EvenWay, ...]:
    """Four ways to bring the weaker team's chance to one half, each by itself, the one that gets nearest in each.

    A start and a zone are exact. For the others the odds of a point are taken to grow as the width of the target, and
    as the number of players: assumptions of ours, to be tried out and put right in play.

    Parameters
    ----------
    point : float
        The chance of the weaker team to win a point.
    play : Play
    size : int
        Players of the weaker team.

    Examples
    --------
    >>> [way.kind for way in even_ways(0.4, Play(11, timed=False), 4)]
    ['start', 'zone', 'target', 'player']
    """
    # Each way by itself: beside a zone that is played already none would say what it does alone.
    bare = replace(play, zone=0.0)
    start = handicap(point, bare)
    # In twentieths, as nobody keeps a share more finely in play.
    zones = [(share / 20, bare.chance(point, 0, share / 20)) for share in range(21)]
    wider = [(times, bare.chance(easier(point, times))) for times in (1.0, *WIDER)]
    more = [(extra, bare.chance(easier(point, (size + extra) / size))) for extra in range(MOST_MORE + 1)]
    ways = [EvenWay("start", start.start, start.after)]
    for kind, found in (("zone", zones), ("target", wider), ("player", more)):
        amount, after = min(found, key=lambda one: (_off(one[1]), one[0]))
        ways.append(EvenWay(kind, amount, after))
    return tuple(ways)


def easier(point: float, times: float) -> float:
    """The chance of a point whose odds are so many times as high."""
    odds = times * point / (1 - point)
    return odds / (1 + odds)


def team_rating(roster: Roster, strand: str, members: Iterable[str]) -> float:
    """The average rating of a team; who is not rated has the middle rating of the class."""
    ratings = [roster.rating(member, strand) for member in members]
    require(bool(ratings), "a team without players has no rating")
    return sum(ratings) / len(ratings)


def point_chance(roster: Roster, strand: str, gap: float) -> float:
    """The chance of a team to win a point whose average rating is higher by ``gap`` (below 0: lower).

    Raises
    ------
    InputError
        Nobody is rated in this strand, or its scale cannot be told.
    """
    what = "nobody is rated in '{strand}', so there is no telling how uneven the teams are"
    require(any(strand in student.ratings for student in roster.active), what, strand=strand)
    return expected_score(ELO_PER_STEP * gap / scale_of(roster, strand).step)
