"""The result of a game is entered, corrected or taken out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.games.days.groups import number_of
from grouper.model.games_day import Fixture, GamesDay, Score
from grouper.words import Remedy


@dataclass(frozen=True)
class Scored:
    """What a team won in a game and lost in play, and what changes its points in the table; the team by its label."""

    team: str
    score: int
    bonus: float = 0.0
    penalty: float = 0.0
    lost: int = 0


def scored(day: GamesDay, one: Scored, other: Scored, slot: int | None = None) -> tuple[GamesDay, Fixture]:
    """The day with a result, and the game it belongs to.

    Where the two teams meet twice, the first game without a result is meant; where all have one, ``slot`` says which is
    corrected.

    Raises
    ------
    InputError
        The two teams do not meet, or it is not clear in which game.
    """
    game = _game(day, one.team, other.team, slot)
    first = number_of(one.team, day.teams, "team")
    home, away = (one, other) if game.home == first else (other, one)
    score = Score(home.score, away.score, home.bonus, away.bonus, home.penalty, away.penalty, home.lost, away.lost)
    entered = replace(game, score=score)
    return day.with_fixture(entered), entered


def unscored(day: GamesDay, one: str, other: str, slot: int | None = None) -> tuple[GamesDay, Fixture]:
    """The day without the result of a game, and the game as it was.

    Raises
    ------
    InputError
        There is no such result, or it is not clear which one is meant.
    """
    games = [game for game in _between(day, one, other, slot) if game.score]
    if len(games) != 1:
        raise _unclear("teams {one} and {other} have {count:result}", one, other, games)
    return day.with_fixture(replace(games[0], score=None, lineup=())), games[0]


def _game(day: GamesDay, one: str, other: str, slot: int | None) -> Fixture:
    games = _between(day, one, other, slot)
    if not games:
        at = f" in slot {slot}" if slot is not None else ""
        raise InputError(f"teams {one} and {other} do not meet{at}; team {one} plays {_opponents(day, one)}")
    still_open = [game for game in games if not game.score]
    if not still_open and len(games) > 1:
        raise _unclear("teams {one} and {other} have {count:result} already", one, other, games)
    return (still_open or games)[0]


def _between(day: GamesDay, one: str, other: str, slot: int | None) -> list[Fixture]:
    first, second = (number_of(label, day.teams, "team") for label in (one, other))
    if first == second:
        raise InputError(f"team {one} cannot play itself; enter two different teams")
    return [game for game in day.fixtures if game.is_between(first, second) and slot in (None, game.slot)]


def _unclear(text: str, one: str, other: str, games: list[Fixture]) -> InputError:
    remedy = Remedy.CHOOSE_SLOT if games else ""
    slots = tuple(game.slot for game in games)
    return InputError(text, remedy, one=one, other=other, count=len(games), slots=slots)


def _opponents(day: GamesDay, label: str) -> str:
    team = number_of(label, day.teams, "team")
    others = [
        f"{day.teams[(game.away if game.home == team else game.home) - 1]} (slot {game.slot})"
        for game in day.fixtures
        if team in (game.home, game.away)
    ]
    return ", ".join(others) or "nobody"
