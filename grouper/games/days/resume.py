"""Play goes on after something went wrong: what was played stays, the rest is planned anew."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace

from grouper.games.checks import require
from grouper.games.circuits import replan_circuit
from grouper.games.rest_of_games import replan_games
from grouper.model.play import Event, Setback, Timing
from grouper.words import Remedy


@dataclass(frozen=True)
class Turned:
    """Numbers (of courts, stations or teams) that something is newly wrong with, and those that are right again."""

    wrong: tuple[int, ...] = ()
    right: tuple[int, ...] = ()

    def after(self, before: Iterable[int]) -> tuple[int, ...]:
        """The numbers that something is wrong with now.

        >>> Turned(wrong=(3,), right=(1,)).after((1, 2))
        (2, 3)
        """
        return tuple(sorted((set(before) | set(self.wrong)) - set(self.right)))


def turned(count: int, fine: Collection[int], wrong: Collection[int]) -> Turned:
    """What is newly wrong among the numbers to ``count``, and what is right again, from all that is fine now."""
    newly = tuple(number for number in range(1, count + 1) if number not in fine and number not in wrong)
    return Turned(newly, tuple(number for number in wrong if number in fine))


@dataclass(frozen=True)
class TimeLeft:
    """What is known of the time from now on: slots or minutes left, or minutes lost; at most one of the three."""

    slots: int | None = None
    minutes: float | None = None
    lost: float | None = None

    def __post_init__(self) -> None:
        given = [value for value in (self.slots, self.minutes, self.lost) if value is not None]
        require(len(given) < 2, "slots left, minutes left and minutes lost are one question; give one of them")
        require(all(value >= 0 for value in given), f"there is no time of {min(given, default=0):g}; give 0 or more")

    def slots_left(self, before: int, timing: Timing) -> int:
        """How many slots can still be played, where ``before`` could be played until now.

        >>> TimeLeft(lost=10).slots_left(5, Timing(play=6, changeover=2))
        3
        """
        if self.slots is not None:
            return self.slots
        if self.minutes is not None:
            return timing.slots_in(self.minutes)
        if self.lost is None:
            return before
        return timing.slots_in((timing.minutes_for(before) or 0.0) - self.lost)


@dataclass(frozen=True)
class News:
    """What is new; what went wrong before still holds unless it is right again.

    Parameters
    ----------
    places : Turned
        Courts or stations that are closed, and open again.
    missing, short : Turned
        Teams that are not there, and that are back; teams that need players, and that are whole again.
    time : TimeLeft
    played : int or None
        How many slots are over; ``None`` for up to the last one with a result, where there is one since the last
        planning.
    not_played : tuple of int
        Courts on which the game of the last of these slots was not played; it is planned again.
    """

    places: Turned = field(default_factory=Turned)
    missing: Turned = field(default_factory=Turned)
    short: Turned = field(default_factory=Turned)
    time: TimeLeft = field(default_factory=TimeLeft)
    played: int | None = None
    not_played: tuple[int, ...] = ()


def resumed(event: Event, news: News) -> Event:
    """The event with the slots after those that are over planned anew; those over and their results stay as they are.

    Raises
    ------
    InputError
        The news speak of places or teams that do not exist, leave nothing possible, or would undo what was played.
    """
    played = _played(event, news)
    event = _without(event, played, news.not_played)
    missing, short = news.missing.after(event.setback.out), news.short.after(event.setback.short)
    setback = Setback(
        news.places.after(event.setback.closed),
        missing,
        tuple(team for team in short if team not in missing),
        _slots_left(event, news, played),
    )
    return (replan_games if event.is_games else replan_circuit)(event, played, setback)


def _played(event: Event, news: News) -> int:
    """How many slots are over; without a result since the last planning nobody can tell but who is asked."""
    if news.played is None:
        told = event.is_games and event.last_scored > event.played
        require(told, "no result tells how many slots are over", Remedy.SAY_SLOTS_OVER, least=0)
    played = event.last_scored if news.played is None else news.played
    last = event.last_scored
    require(played >= last, "slot {least} has a result, so that it is over", Remedy.SAY_SLOTS_OVER, least=last)
    require(
        played >= event.played,
        "{slots} slots were over already when the rest was planned",
        Remedy.TAKE_BACK,
        slots=event.played,
    )
    return played


def _without(event: Event, slot: int, courts: tuple[int, ...]) -> Event:
    """The event without the games of a slot that were not played after all."""
    for court in courts:
        games = [game for game in event.assignments if game.spot == (slot, court)]
        require(bool(games), f"there is no game on court {court} in slot {slot} that could be played later")
        require(games[0].score is None, f"the game on court {court} in slot {slot} has a result, so it was played")
        event = replace(event, assignments=tuple(game for game in event.assignments if game != games[0]))
    return event


def _slots_left(event: Event, news: News, played: int) -> int | None:
    """A limit where there is one; without news on the time, the one from before less what was played since."""
    planned = max(0, event.slots - played)
    if not event.is_games:
        return news.time.slots_left(planned, event.timing)
    known = None if event.asked.slots is None else max(0, event.asked.slots - played)
    if event.setback.slots_left is not None:
        known = max(0, event.setback.slots_left - (played - event.played))
    if news.time == TimeLeft():
        return known
    return news.time.slots_left(planned if known is None else known, event.timing)
