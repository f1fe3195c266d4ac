"""What is asked of a day of games, checked on creation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from grouper.errors import InputError
from grouper.words import Remedy

Order = Literal["breaks", "berger", "carry-over"]
Duty = Literal["none", "spare", "always"]

MOST_TEAMS = 64


@dataclass(frozen=True)
class GamesTask:
    """A round robin to be played.

    Parameters
    ----------
    teams : int
        How many, 2 to 64; they are numbered from 1.
    courts : int
        How many games can go on at once.
    legs : int or None
        How often every two teams meet; ``None`` for as often as ``slots`` allow.
    slots : int or None
        Most slots to play, ``None`` for as many as it takes; the best part of the games where they do not all fit.
    order : {"breaks", "berger", "carry-over"}
        Fewest breaks and shortest waits (the default), the Berger tables, or the lowest carry-over.
    duty : {"none", "spare", "always"}
        No team officiates; whoever is spare does; or no game starts without an officiating team.

    Raises
    ------
    InputError
        When no games can be played like this.
    """

    teams: int
    courts: int
    legs: int | None = 1
    slots: int | None = None
    order: Order = "breaks"
    duty: Duty = "spare"

    def __post_init__(self) -> None:
        require(self.teams >= 2, f"{self.teams} team(s) cannot play a game; make at least 2 teams")
        require(self.teams <= MOST_TEAMS, f"{self.teams} teams are too many for one round robin; split them in pools")
        require(self.courts >= 1, f"{self.courts} courts leave nowhere to play; give at least 1 court")
        require(self.legs is None or 1 <= self.legs <= 10, f"every two teams cannot meet {self.legs} times; try 1 or 2")
        require(self.slots is None or self.slots >= 1, f"no game fits in {self.slots} slots; give at least 1 slot")
        require(self.legs is not None or self.slots is not None, "with no number of legs, say how many slots to fill")
        require(self.order in ("breaks", "berger", "carry-over"), f"there is no order '{self.order}'; try 'breaks'")
        require(self.duty in ("none", "spare", "always"), f"there is no duty '{self.duty}'; try 'spare'")
        require(
            self.duty != "always" or self.teams >= 3, "two teams leave nobody to officiate; ask for no duty, or 3 teams"
        )

    @property
    def at_once(self) -> int:
        """The most games in one slot: two teams each, and a third where every game has a team on duty."""
        return min(self.courts, self.teams // (3 if self.duty == "always" else 2))

    @property
    def pairs(self) -> int:
        """How many games a single leg has."""
        return self.teams * (self.teams - 1) // 2


def require(holds: bool, text: str, remedy: Remedy | str = "", /, **facts: Any) -> None:
    """Raise InputError with what is wrong and what to try unless it holds."""
    if not holds:
        raise InputError(text, remedy, **facts)
