"""Sides that differ on purpose: five against three, or four against four with a floater who plays for both.

What a teacher writes is ``5+3`` or ``4+4+1``: the sides of one game, of which there are as many as the class fills.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from grouper.errors import InputError
from grouper.model.texts import in_one_line

Sizes = tuple[int, ...]
"""The sides of one game, the largest first, floaters last."""

MOST_SIDES, MOST_IN_A_GAME = 5, 60
FLOATER = "floater"
"""The role of somebody who plays for whichever side has the ball."""

_WIDE = {chr(ord(plain) + 0xFEE0): plain for plain in "0123456789+"}
_BETWEEN = re.compile(r"\s*(?:\+|\bv\.?\b|\bvs\.?(?!\w)|\bagainst\b|(?<=\d)vs?\.?(?=\d))\s*", re.IGNORECASE)


@lru_cache(maxsize=1024)
def sides_in(text: str) -> Sizes:
    """The sides that a text such as ``5+3`` or ``5 v 3`` names, the largest first.

    Raises
    ------
    InputError
        It names no sides.

    Examples
    --------
    >>> sides_in("3 + 5"), sides_in("4+4+1"), sides_in("5v3")
    ((5, 3), (4, 4, 1), (5, 3))
    """
    # Wide digits and signs, as some keyboards write them, are what they look like; a raised 2 is no 2.
    parts = _BETWEEN.split("".join(_WIDE.get(letter, letter) for letter in text).strip())
    if not 2 <= len(parts) <= MOST_SIDES or not all(part.isascii() and part.isdecimal() for part in parts):
        raise InputError(
            "'{text}' names no sides", "write the sides of one game, such as 5+3 or 4+4+1", text=in_one_line(text, 40)
        )
    # A number longer than any class is cut: it is too large all the same.
    sides = tuple(sorted((int(part.lstrip("0")[:5] or "0") for part in parts), reverse=True))
    if not sides[-1]:
        raise InputError("a side of 0 cannot play", "use 1 or more on a side")
    if sum(sides) > MOST_IN_A_GAME:
        what = "'{text}' is one game of more people than any class could fill"
        raise InputError(what, "use {most} in a game at most", text=in_one_line(text, 40), most=MOST_IN_A_GAME)
    return sides


def in_words(sides: Sizes) -> str:
    """Sides as a teacher writes them."""
    return "+".join(map(str, sides))


def floaters(sides: Sizes) -> int:
    """How many of them are floaters: ones beside two larger sides or more.

    >>> floaters((4, 4, 1)), floaters((5, 3)), floaters((5, 1))
    (1, 0, 0)
    """
    ones = sides.count(1)
    return ones if len(sides) - ones > 1 else 0


def playing(sides: Sizes) -> Sizes:
    """The sides without the floaters."""
    return sides[: len(sides) - floaters(sides)]


@lru_cache(maxsize=4096)
def games_for(sides: Sizes, people: int) -> tuple[Sizes, ...]:
    """The sides of each game in which so many people play, those with the most people first.

    As near to what was asked for as can be: so many games that they are nearest to the size of one, with as many people
    as each other or one more; sides that were to be alike are so where a floater less allows it, those that were to
    differ do; and it counts by how much of itself a side is larger or smaller.

    Examples
    --------
    >>> games_for((5, 3), 24)
    ((5, 3), (5, 3), (5, 3))
    >>> games_for((5, 3), 23)
    ((5, 3), (5, 3), (4, 3))
    >>> games_for((4, 4, 1), 18), games_for((4, 4, 1), 17)
    (((4, 4, 1), (4, 4, 1)), ((4, 4, 1), (4, 4)))
    """
    if people < len(playing(sides)):
        return ((1,) * people,) if people else ()
    whole = sum(sides)
    few = people // whole
    # Of one game fewer or more that which is off by the smaller factor.
    games = few if few and people * people <= few * (few + 1) * whole * whole else few + 1
    # Where everybody is a side, one game more would leave somebody without anyone to play against.
    games = min(games, people // len(playing(sides)))
    return tuple(_nearest(sides, people // games + (game < people % games)) for game in range(games))


def _far(sides: Sizes, game: Sizes) -> float:
    """How far a game is from the one asked for."""
    padded = (*game, *(0,) * (len(sides) - len(game)))
    unlike = sum(abs(one - other) for one, other, a, b in _neighbours(padded, sides) if a == b)
    same = sum(one == other for one, other, a, b in _neighbours(padded, sides) if a != b and b > 1)
    return 10 * (unlike + same) + sum(((is_ - was) / was) ** 2 for is_, was in zip(padded, sides, strict=True))


def _neighbours(game: Sizes, sides: Sizes) -> Iterator[tuple[int, int, int, int]]:
    count = len(playing(sides))
    return zip(game[: count - 1], game[1:count], sides[: count - 1], sides[1:count], strict=True)


@lru_cache(maxsize=4096)
def _nearest(sides: Sizes, people: int) -> Sizes:
    ways = (
        (*way, *(1,) * spare)
        for spare in range(floaters(sides), -1, -1)
        for way in _ways(people - spare, len(playing(sides)), people)
    )
    return min(ways, key=lambda way: _far(sides, way))


def _ways(people: int, sides: int, most: int) -> Iterator[Sizes]:
    """All ways to make so many sides of so many people, none larger than the one before."""
    if sides == 1:
        if 1 <= people <= most:
            yield (people,)
        return
    for first in range(min(most, people - sides + 1), -(-people // sides) - 1, -1):
        for rest in _ways(people - first, sides - 1, first):
            yield (first, *rest)
