"""What is asked of a day of games, and the games themselves: facts, checked on creation."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from grouper.errors import InputError, OurBugError

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
        _require(self.teams >= 2, f"{self.teams} team(s) cannot play a game; make at least 2 teams")
        _require(self.teams <= MOST_TEAMS, f"{self.teams} teams are too many for one round robin; split them in pools")
        _require(self.courts >= 1, f"{self.courts} courts leave nowhere to play; give at least 1 court")
        _require(self.legs is None or 1 <= self.legs <= 10, f"every two teams cannot meet {self.legs} times; try 1 or 2")
        _require(self.slots is None or self.slots >= 1, f"no game fits in {self.slots} slots; give at least 1 slot")
        _require(self.legs is not None or self.slots is not None, "with no number of legs, say how many slots to fill")
        _require(self.order in ("breaks", "berger", "carry-over"), f"there is no order '{self.order}'; try 'breaks'")
        _require(self.duty in ("none", "spare", "always"), f"there is no duty '{self.duty}'; try 'spare'")
        _require(
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


@dataclass(frozen=True, order=True)
class Game:
    """Two teams on a court in a slot, and the team that officiates (``None``: nobody does). All count from 1."""

    slot: int
    court: int
    home: int
    away: int
    duty: int | None = field(default=None, compare=False)

    @property
    def pair(self) -> tuple[int, int]:
        """The two teams, lower number first."""
        return (min(self.home, self.away), max(self.home, self.away))

    def has(self, team: int) -> bool:
        """Whether a team plays in it (duty is no play)."""
        return team in (self.home, self.away)


@dataclass(frozen=True, order=True)
class Loan:
    """Players whom a team without a game lends to a short team in a slot."""

    slot: int
    team: int
    lender: int


@dataclass(frozen=True)
class Change:
    """What has gone wrong, from the next slot on.

    Parameters
    ----------
    courts_closed : tuple of int
        Courts that cannot be used any more.
    teams_out : tuple of int
        Teams that are not there.
    teams_short : tuple of int
        Teams that need players lent by a team without a game.
    slots_left : int or None
        How many slots can still be played; ``None`` for no limit but the task's own.
    """

    courts_closed: tuple[int, ...] = ()
    teams_out: tuple[int, ...] = ()
    teams_short: tuple[int, ...] = ()
    slots_left: int | None = None

    def __post_init__(self) -> None:
        _require(self.slots_left is None or self.slots_left >= 0, "fewer than no slots are left; give 0 or more")

    def check(self, task: GamesTask) -> None:
        """Raise InputError unless it speaks of the task's own courts and teams and leaves a game possible."""
        _within(self.courts_closed, task.courts, "court")
        _within((*self.teams_out, *self.teams_short), task.teams, "team")
        _require(bool(self.open_courts(task)), "every court is closed; leave one open, or end the games here")
        _require(len(self.present(task)) >= 2, "fewer than 2 teams are left; end the games here")

    def open_courts(self, task: GamesTask) -> tuple[int, ...]:
        """The courts that can still be used."""
        return tuple(c for c in range(1, task.courts + 1) if c not in self.courts_closed)

    def present(self, task: GamesTask) -> tuple[int, ...]:
        """The teams that are there."""
        return tuple(t for t in range(1, task.teams + 1) if t not in self.teams_out)


@dataclass(frozen=True)
class GameSchedule:
    """Who plays whom, when and where; no team in two places at once.

    Parameters
    ----------
    task : GamesTask
    games : tuple of Game
        In order of slot and court.
    draw : str
        The construction it came from.
    played : int
        Slots that are over and were not touched by the last planning.
    change : Change
        What had gone wrong when it was planned.
    loans : tuple of Loan
    """

    task: GamesTask
    games: tuple[Game, ...]
    draw: str
    played: int = 0
    change: Change = Change()
    loans: tuple[Loan, ...] = ()

    def __post_init__(self) -> None:
        faults = tuple(schedule_faults(self))
        if faults:
            raise OurBugError("the games planned do not hold together: " + faults[0], faults)

    @property
    def slots(self) -> int:
        """The last slot in which a game is played."""
        return max((game.slot for game in self.games), default=0)

    def in_slot(self, slot: int) -> tuple[Game, ...]:
        """The games of a slot."""
        return tuple(game for game in self.games if game.slot == slot)

    def of_team(self, team: int) -> tuple[Game, ...]:
        """The games of a team in order."""
        return tuple(game for game in self.games if game.has(team))


def schedule_faults(schedule: GameSchedule) -> Iterable[str]:
    """Sentences on what does not hold together; none when all is well."""
    for slot in range(1, schedule.slots + 1):
        games = schedule.in_slot(slot)
        yield from _twice(slot, "team", [t for g in games for t in (g.home, g.away, g.duty) if t is not None])
        yield from _twice(slot, "court", [g.court for g in games])
    for game in schedule.games:
        yield from _outside(game, schedule.task)
    yield from _met_too_often(schedule)


def _twice(slot: int, what: str, numbers: list[int]) -> Iterable[str]:
    for number, times in sorted(Counter(numbers).items()):
        if times > 1:
            yield f"{what} {number} is needed {times} times in slot {slot}"


def _outside(game: Game, task: GamesTask) -> Iterable[str]:
    if not 1 <= game.court <= task.courts:
        yield f"there is no court {game.court}"
    for team in (game.home, game.away):
        if not 1 <= team <= task.teams:
            yield f"there is no team {team}"


def _met_too_often(schedule: GameSchedule) -> Iterable[str]:
    if schedule.task.legs is None:
        return
    for pair, times in sorted(Counter(game.pair for game in schedule.games).items()):
        if times > schedule.task.legs:
            yield f"teams {pair[0]} and {pair[1]} meet {times} times"


def _within(numbers: tuple[int, ...], most: int, what: str) -> None:
    for number in numbers:
        _require(1 <= number <= most, f"there is no {what} {number}; they are numbered 1 to {most}")


def _require(holds: bool, message: str) -> None:
    if not holds:
        raise InputError(message)
