"""Games and stations on the page, put into the verbs of play: planned, carried on, scored, taken off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from grouper.errors import InputError
from grouper.games.days.groups import called, event_meant, of_class
from grouper.games.days.plan import News, TimeLeft, changes_to, planned_in, resumed
from grouper.games.days.season import Scored, scored, unscored, with_scores
from grouper.model.play import GAMES, Assignment, Event, Score
from grouper.model.record import ClassRecord
from grouper.tasks.adapt import visits_kept_from

Done = tuple[ClassRecord, str]

Spot = tuple[int, int]
"""A game: its slot and its court."""


@dataclass(frozen=True)
class Typed:
    """What stands in the fields of a game: points won, points lost in play, and the two teams that the page showed."""

    teams: str
    won: tuple[str, str] = ("", "")
    lost: tuple[str, str] = ("", "")


def planned(record: ClassRecord, lesson: int, activity: str, wish: Event, minutes: float | None) -> Done:
    """Games or stations for the groups of an activity, in the place of those there were.

    Raises
    ------
    InputError
        The lesson has been taught, there are results already, or nobody can play like this.
    """
    wish = of_class(record, wish, lesson, activity)
    record, event = planned_in(record, wish, minutes, visits_kept_from(record, wish))
    return record, f"{event.kind} of '{activity}' in lesson {lesson}"


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
    event = event_meant(record, GAMES, lesson, activity)
    typed = {spot: fields for spot, fields in now.items() if fields != were.get(spot)}
    changed = [game for game in event.assignments if game.spot in typed]
    for game in changed:
        event = _typed(event, game, typed[game.spot])
    if not changed:
        raise InputError("no result was changed; type two numbers for a game first")
    results = ", ".join(_named(event, game) for game in changed)
    return with_scores(record, event), f"results in lesson {lesson}: {results}"


def without_result(record: ClassRecord, lesson: int, activity: str, spot: Spot, teams: str) -> Done:
    """A game has no result after all (InputError where it has none, or other teams than the page showed)."""
    event = event_meant(record, GAMES, lesson, activity)
    game = next((game for game in event.assignments if game.spot == spot), None)
    if game is None:
        raise InputError("this game is no longer there; load the page again")
    return with_scores(record, _typed(event, game, Typed(teams))), f"no result after all: {_named(event, game)}"


def _typed(event: Event, game: Assignment, typed: Typed) -> Event:
    if typed.teams != _named(event, game):
        raise InputError(
            "the games were planned again meanwhile, and {teams} is another game now", "look first", teams=typed.teams
        )
    home, away = (event.label(team) for team in game.teams)
    if typed.won == ("", "") and (typed.lost == ("", "") or game.score):
        return unscored(event, home, away, game.slot)[0]
    won = [_points(event, game, text) for text in typed.won]
    lost = [_points(event, game, text or "0") for text in typed.lost]
    extra = game.score or Score(0, 0)
    one = Scored(home, won[0], extra.home_bonus, extra.home_penalty, lost[0])
    other = Scored(away, won[1], extra.away_bonus, extra.away_penalty, lost[1])
    return scored(event, one, other, game.slot)[0]


def _points(event: Event, game: Assignment, text: str) -> int:
    if text.isascii() and text.isdecimal() and len(text) < 5:
        return int(text)
    wrong = "slot {slot}, {game}: '{text}' is no score" if text else "slot {slot}, {game}: a result needs two numbers"
    raise InputError(wrong, "nothing was saved", slot=game.slot, game=_named(event, game), text=text)


def _named(event: Event, game: Assignment) -> str:
    return f"{event.name(game.home)} – {event.name(game.away)}"


def renamed(record: ClassRecord, kind: str, lesson: int, activity: str, names: Mapping[int, str]) -> Done:
    """Teams, by number, are called by other names, by their labels where that is empty.

    Raises
    ------
    InputError
        Two would have one name, or there are other teams now.
    """
    event = event_meant(record, kind, lesson, activity)
    if not set(names) <= set(event.numbers):
        raise InputError("these teams are no longer there; load the page again")
    event = called(event, {event.label(number): name for number, name in names.items()})
    return record.with_event(event), f"names of teams of '{activity}' in lesson {lesson}"


def on_wall(record: ClassRecord, chosen: str) -> Done:
    """What students see of the standings after games (InputError where it is none of the choices)."""
    return replace(record, points=replace(record.points, on_wall=chosen)), "what the wall shows of the standings"


@dataclass(frozen=True)
class Situation:
    """How things stand after ``played`` slots: places that can be used and teams that are there, both from 1.

    ``slots`` are how many more there is time for, None for as many as before.
    """

    played: int
    places: frozenset[int] = field(default_factory=frozenset)
    teams: frozenset[int] = field(default_factory=frozenset)
    slots: int | None = None


def gone_on(record: ClassRecord, kind: str, lesson: int, activity: str, now: Situation) -> Done:
    """The slots after those that are over planned anew for the situation.

    Raises
    ------
    InputError
        The lesson has been taught, or nothing is possible any more.
    """
    record.check_open(lesson)
    event = event_meant(record, kind, lesson, activity)
    there = now.teams if event.is_games else frozenset(event.numbers)
    news = News(
        places=changes_to(len(event.places), now.places, event.setback.closed),
        missing=changes_to(len(event.teams), there, event.setback.out),
        time=TimeLeft(now.slots),
        played=max(now.played, first_open_slot(event) - 1),
    )
    what = f"{'' if event.is_games else 'stations of '}'{activity}' in lesson {lesson}"
    goes = f"go{'es' if event.is_games else ''} on after slot {news.played}"
    return record.with_event(resumed(event, news, visits_kept_from(record, event))), f"{what} {goes}"


def first_open_slot(event: Event) -> int:
    """The first slot that may still be planned anew: after the last result and after the last planning."""
    return max(event.last_scored, event.played) + 1


def taken_off(record: ClassRecord, kind: str, lesson: int, activity: str) -> Done:
    """No stations for an activity any more (InputError where it has none, or the lesson has been taught)."""
    record.check_open(lesson)
    gone = event_meant(record, kind, lesson, activity)
    events = tuple(event for event in record.events if event.key != gone.key)
    return replace(record, events=events), f"no {kind} for '{activity}' in lesson {lesson}"
