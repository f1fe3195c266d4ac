"""Games on the page, put into the verbs of play: planned for the teams of an activity, carried on, and scored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from grouper.errors import InputError
from grouper.games.days.hold import held
from grouper.games.days.keep import games_meant, with_games
from grouper.games.days.resume import GamesNews, resumed_games, turned
from grouper.games.days.scores import Scored, scored, unscored
from grouper.games.days.start import GamesWish, games_of_class, in_its_minutes, no_scores_lost, place_and_labels
from grouper.games.days.time_left import TimeLeft
from grouper.model.games_day import Fixture, GamesDay, Score
from grouper.model.record import ClassRecord

Done = tuple[ClassRecord, str]

Spot = tuple[int, int]
"""A game: its slot and its court."""


@dataclass(frozen=True)
class Typed:
    """What stands in the fields of a game: points won, points lost in play, and the two teams that the page showed."""

    teams: str
    won: tuple[str, str] = ("", "")
    lost: tuple[str, str] = ("", "")


def planned(record: ClassRecord, lesson: int, activity: str, wish: GamesWish) -> Done:
    """Games for the teams of an activity, in the place of those there were.

    Raises
    ------
    InputError
        The lesson has been taught, there are results already, or no games can be played like this.
    """
    place, labels = place_and_labels(record, lesson, activity, 1)
    no_scores_lost(record, place)
    wish = GamesWish(wish.courts, wish.legs, wish.order, wish.duty, in_its_minutes(record, place, wish.time))
    return with_games(record, games_of_class(record, labels, wish, place)), f"games of '{activity}' in lesson {lesson}"


def with_results(
    record: ClassRecord, lesson: int, activity: str, were: Mapping[Spot, Typed], now: Mapping[Spot, Typed]
) -> Done:
    """Results as they were typed; only games whose fields are other than the page showed count as typed.

    Empty fields where a result stood take it back; bonus and penalty points stay.

    Raises
    ------
    InputError
        A game has one number of the two, something that is no number, or other teams than the page showed.
    """
    day = games_meant(record, lesson, activity)
    typed = {spot: fields for spot, fields in now.items() if fields != were.get(spot)}
    changed = [game for game in day.fixtures if (game.slot, game.court) in typed]
    for game in changed:
        day = _typed(day, game, typed[(game.slot, game.court)])
    if not changed:
        raise InputError("no result is new; type two numbers for a game first")
    return held(record, day), f"results in lesson {lesson}: {_named(day, changed)}"


def without_result(record: ClassRecord, lesson: int, activity: str, spot: Spot, teams: str) -> Done:
    """A game has no result after all (InputError where it has none, or other teams than the page showed)."""
    day = games_meant(record, lesson, activity)
    game = next((game for game in day.fixtures if (game.slot, game.court) == spot), None)
    if game is None:
        raise InputError("this game is no longer there; load the page again")
    return held(record, _typed(day, game, Typed(teams))), f"no result after all: {_named(day, [game])}"


def _typed(day: GamesDay, game: Fixture, typed: Typed) -> GamesDay:
    home, away = (day.teams[team - 1] for team in (game.home, game.away))
    if typed.teams != f"{home} – {away}":
        raise InputError(f"the games were planned anew meanwhile, and {typed.teams} is another now; look at them first")
    if typed.won == ("", "") and (typed.lost == ("", "") or game.score):
        return unscored(day, home, away, game.slot)[0]
    won = [_points(day, game, text) for text in typed.won]
    lost = [_points(day, game, text or "0") for text in typed.lost]
    extra = game.score or Score(0, 0)
    one = Scored(home, won[0], extra.home_bonus, extra.home_penalty, lost[0])
    other = Scored(away, won[1], extra.away_bonus, extra.away_penalty, lost[1])
    return scored(day, one, other, game.slot)[0]


def _points(day: GamesDay, game: Fixture, text: str) -> int:
    if text.isascii() and text.isdecimal() and len(text) < 5:
        return int(text)
    wrong = f"'{text}' is no score" if text else "a result needs two numbers"
    raise InputError(f"slot {game.slot}, {_named(day, [game])}: {wrong}; nothing was saved")


def _named(day: GamesDay, games: list[Fixture]) -> str:
    return ", ".join(f"{day.teams[game.home - 1]} – {day.teams[game.away - 1]}" for game in games)


@dataclass(frozen=True)
class Situation:
    """How things stand after ``played`` slots: courts that can be used and teams that are there, both from 1.

    ``slots`` are how many more there is time for, None for as many as before.
    """

    played: int
    courts: frozenset[int] = field(default_factory=frozenset)
    teams: frozenset[int] = field(default_factory=frozenset)
    slots: int | None = None


def gone_on(record: ClassRecord, lesson: int, activity: str, now: Situation) -> Done:
    """The games after those that are over planned anew for the situation.

    Raises
    ------
    InputError
        The lesson has been taught, or no game is possible any more.
    """
    record.check_open(lesson)
    day = games_meant(record, lesson, activity)
    news = GamesNews(
        courts=turned(day.asked.courts, now.courts, day.setback.courts_closed),
        missing=turned(len(day.teams), now.teams, day.setback.teams_out),
        time=TimeLeft(now.slots),
        played=max(now.played, first_open_slot(day) - 1),
    )
    what = f"'{activity}' in lesson {lesson} goes on after slot {news.played}"
    return with_games(record, resumed_games(day, news)), what


def first_open_slot(day: GamesDay) -> int:
    """The first slot that may still be planned anew: after the last result and after the last planning."""
    return max(day.last_scored, day.played) + 1
