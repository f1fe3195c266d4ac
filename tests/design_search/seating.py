"""A first round that a twist takes to itself: some groups stay, the others go around among themselves."""

from __future__ import annotations

from random import Random

from design_search.symmetry import Permutation
from grouper.engines.designs.design import Sizes


def twist_orbits(twist: Permutation) -> list[tuple[int, ...]]:
    """The places in the orders in which the twist takes them around."""
    orbits, seen = [], set()
    for place in range(len(twist)):
        orbit = []
        while place not in seen:
            seen.add(place)
            orbit.append(place)
            place = twist[place]
        if orbit:
            orbits.append(tuple(orbit))
    return orbits


def first_seats(orbits: list[tuple[int, ...]], sizes: Sizes, random: Random) -> list[int]:
    """Places group after group; all orbits must be of one length, or of length one.

    Without a twist, in any order. With one the groups must have one size: a group that stays holds places that stay
    and whole orbits; others come in sets of as many as an orbit is long, each with one place of the same orbits.
    """
    around, size = max(map(len, orbits)), sizes[0]
    staying = [orbit[0] for orbit in orbits if len(orbit) < around]
    moving = [orbit for orbit in orbits if len(orbit) == around]
    random.shuffle(moving)
    if around == 1:
        return [place for orbit in moving for place in orbit]
    seats: list[int] = []
    for count in _shares(len(staying), size, around, len(sizes)):
        seats += [staying.pop() for _ in range(count)]
        seats += [place for _ in range((size - count) // around) for place in moving.pop()]
    while moving:
        chosen = [moving.pop() for _ in range(size)]
        seats += [orbit[turn] for turn in range(around) for orbit in chosen]
    return seats


def _shares(staying: int, size: int, around: int, groups: int) -> list[int]:
    """How many places that stay each group that stays holds: as few such groups as possible."""
    for count in range(groups % around, groups + 1, around):
        spare = staying - count * (size % around)
        if spare >= 0 and spare % around == 0 and spare <= count * (size - size % around):
            return _filled([size % around] * count, spare, size, around)
    raise ValueError(f"{staying} staying places do not fit {groups} groups of {size} that go around by {around}")


def _filled(shares: list[int], spare: int, size: int, around: int) -> list[int]:
    for i in range(len(shares)):
        more = min(spare, (size - shares[i]) // around * around)
        shares[i] += more
        spare -= more
    return shares
