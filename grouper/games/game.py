"""The games of a day: facts, checked on creation."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from grouper.errors import OurBugError
from grouper.games.asked import GamesTask
from grouper.games.change import NOTHING_WRONG, Change


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


@dataclass(frozen=True, order=True)
class Loan:
    """Players whom a team without a game lends to a short team in a slot."""

    slot: int
    team: int
    lender: int


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
    change: Change = NOTHING_WRONG
    loans: tuple[Loan, ...] = ()

    def __post_init__(self) -> None:
        faults = tuple(schedule_faults(self))
        if faults:
            raise OurBugError("the games planned do not hold together: " + faults[0], faults=faults)

    @property
    def slots(self) -> int:
        """The last slot in which a game is played."""
        return max((game.slot for game in self.games), default=0)

    def in_slot(self, slot: int) -> tuple[Game, ...]:
        """The games of a slot."""
        return tuple(game for game in self.games if game.slot == slot)


def schedule_faults(schedule: GameSchedule) -> Iterable[str]:
    """Sentences on what does not hold together; none when all is well."""
    slots: dict[int, list[Game]] = defaultdict(list)
    for game in schedule.games:
        slots[game.slot].append(game)
        yield from _outside(game, schedule.task)
    for slot, games in sorted(slots.items()):
        yield from _twice(slot, "team", [t for g in games for t in (g.home, g.away, g.duty) if t is not None])
        yield from _twice(slot, "court", [g.court for g in games])
    yield from _met_too_often(schedule)


def _twice(slot: int, what: str, numbers: list[int]) -> Iterable[str]:
    for number, times in sorted(Counter(numbers).items()):
        if times > 1:
            yield f"{what} {number} is needed {times} times in slot {slot}"


def _outside(game: Game, task: GamesTask) -> Iterable[str]:
    if game.slot < 1:
        yield f"there is no slot {game.slot}"
    if game.home == game.away:
        yield f"team {game.home} plays itself"
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
