"""The door to tie-breaks: one list of ways to part teams that are level.

Each sees the group of level teams and their results, and gives each a number, highest first. To add one, write a class
with ``key``, ``sentence`` and ``value`` and put it in TIEBREAKS.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from grouper.games.result import Side, Worth


class TieBreak(Protocol):
    """A way to part level teams."""

    key: str
    sentence: str

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        """The number of a team among those that are level with it."""
        ...


class Points:
    """All points, with bonus and penalty."""

    key = "points"
    sentence = "more points"

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        return sum(worth.of(s) + s.bonus - s.penalty for s in sides if s.team == team)


class HeadToHead:
    """Points from the games that the level teams played among themselves, without bonus and penalty."""

    key = "head to head"
    sentence = "more points in the games between the level teams"

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        return sum(worth.of(s) for s in sides if s.team == team and s.opponent in level)


class Difference:
    """Scored less conceded."""

    key = "difference"
    sentence = "the larger difference between scored and conceded"

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        return sum(s.scored - s.conceded for s in sides if s.team == team)


class Scored:
    """Scored in all games."""

    key = "scored"
    sentence = "more scored"

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        return sum(s.scored for s in sides if s.team == team)


class Wins:
    """Games won."""

    key = "wins"
    sentence = "more games won"

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        return sum(s.scored > s.conceded for s in sides if s.team == team)


class FairPlay:
    """Bonus less penalty."""

    key = "fair play"
    sentence = "more bonus and fewer penalty points"

    def value(self, team: int, level: Sequence[int], sides: Sequence[Side], worth: Worth) -> float:
        return sum(s.bonus - s.penalty for s in sides if s.team == team)


TIEBREAKS: tuple[TieBreak, ...] = (Points(), HeadToHead(), Difference(), Scored(), Wins(), FairPlay())

USUAL_ORDER = ("points", "head to head", "difference", "scored")
