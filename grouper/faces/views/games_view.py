"""What students may see of a day of games: numbers and labels, places and times, and the score of what was played.

There is no name of a student, no rating and no rank in it.
"""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.play_heading import PlayHeading, begins, play_heading
from grouper.games.whist import DoublesSchedule
from grouper.model.games_day import Fixture, GamesDay
from grouper.model.record import ClassRecord
from grouper.model.timing import Timing


@dataclass(frozen=True)
class CourtGame:
    """A game on a court: teams by label, the team on duty, and the score; empty for nobody or not yet."""

    court: int
    home: str
    away: str
    duty: str = ""
    home_score: str = ""
    away_score: str = ""


@dataclass(frozen=True)
class GamesSlot:
    """A slot: when it begins, its games by court, who waits, and who lends players to whom (short team, lender)."""

    slot: int
    begins: str
    games: tuple[CourtGame, ...]
    waiting: tuple[str, ...] = ()
    loans: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class CourtSheet:
    """All games of one court, each with its slot and when that begins."""

    court: int
    games: tuple[tuple[int, str, CourtGame], ...]


@dataclass(frozen=True)
class GamesView:
    """The games of an activity, slot by slot."""

    heading: PlayHeading
    slots: tuple[GamesSlot, ...]

    @property
    def with_duty(self) -> bool:
        """Whether any team officiates."""
        return any(game.duty for slot in self.slots for game in slot.games)

    @property
    def courts(self) -> tuple[CourtSheet, ...]:
        """The games by court."""
        numbers = sorted({game.court for slot in self.slots for game in slot.games})
        return tuple(CourtSheet(number, self._on(number)) for number in numbers)

    def _on(self, court: int) -> tuple[tuple[int, str, CourtGame], ...]:
        return tuple(
            (slot.slot, slot.begins, game) for slot in self.slots for game in slot.games if game.court == court
        )


def games_view(day: GamesDay, record: ClassRecord | None = None) -> GamesView:
    """The allow-listed view of a day of games, of a class or of mere numbers."""
    heading = play_heading(record, day.lesson, day.activity, "Games", day.timing)
    return GamesView(heading, tuple(_slot(day, slot) for slot in range(1, day.slots + 1)))


def _slot(day: GamesDay, slot: int) -> GamesSlot:
    games = [game for game in day.fixtures if game.slot == slot]
    loans = tuple((_label(day, short), _label(day, lender)) for at, short, lender in day.loans if at == slot)
    return GamesSlot(
        slot, begins(day.timing, slot), tuple(_game(day, game) for game in games), _waiting(day, games), loans
    )


def _label(day: GamesDay, team: int) -> str:
    return day.teams[team - 1]


def _game(day: GamesDay, game: Fixture) -> CourtGame:
    score = ("", "") if game.score is None else tuple(map(str, game.score.net))
    duty = "" if game.duty is None else _label(day, game.duty)
    return CourtGame(game.court, _label(day, game.home), _label(day, game.away), duty, *score)


def _waiting(day: GamesDay, games: list[Fixture]) -> tuple[str, ...]:
    """Teams without game or duty; those that are out only wait in slots before they were."""
    slot = games[0].slot if games else 0
    busy = {team for game in games for team in (game.home, game.away, game.duty)}
    gone = set(day.setback.teams_out) if slot > day.played else set()
    return tuple(label for team, label in enumerate(day.teams, start=1) if team not in busy | gone)


def doubles_view(schedule: DoublesSchedule, timing: Timing) -> GamesView:
    """The view of a 2v2 rotation: players by number, those who rest as waiting."""
    heading = play_heading(None, 0, "", "Two against two", timing)
    return GamesView(heading, tuple(_doubles_slot(schedule, timing, slot) for slot in range(1, schedule.slots + 1)))


def _doubles_slot(schedule: DoublesSchedule, timing: Timing, slot: int) -> GamesSlot:
    games = tuple(
        CourtGame(game.court, _pair(game.home), _pair(game.away)) for game in schedule.games if game.slot == slot
    )
    return GamesSlot(slot, begins(timing, slot), games, tuple(map(str, schedule.resting(slot))))


def _pair(players: tuple[int, int]) -> str:
    return f"{players[0]}+{players[1]}"
