"""The chance to win a game, exactly, from the chance to win a point; a draw counts half.

Points are won one by one, each by the same side with the same chance, whatever was before. With a bonus zone a share of
one side's points is made from there and counts double. Games to a number of points go through every score on the way
(dynamic programming); timed games are sums over how the points may fall.
"""

from __future__ import annotations

from functools import lru_cache
from math import comb

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
    table = [[1.0] * (target + 1)]
    for own in range(1, target + 1):
        row = [0.0]
        for other in range(1, target + 1):
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
