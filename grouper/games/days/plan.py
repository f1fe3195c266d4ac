"""Games or stations are planned in the time there is, and the rest of them anew after something went wrong."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from math import floor, inf

from grouper.errors import require
from grouper.games.circuits import KeptFrom, plan_circuit, replan_circuit
from grouper.games.days.groups import activity_meant, no_scores_lost
from grouper.games.days.season import turned_to_even_duty
from grouper.games.draws import plan_games
from grouper.games.measure import Measure, measure_circuit, measure_games
from grouper.games.rest_of_games import replan_games
from grouper.model.play import Event, Setback, Timing
from grouper.model.record import ClassRecord
from grouper.words import Remedy

LEAST_THAT_FITS = 0.5
"""What fits is rounded down to half minutes, and less than one is no slot."""


def plan(wish: Event, minutes: float | None = None, kept_from: KeptFrom = frozenset()) -> Event:
    """What is asked for, with who is where in each slot, in the time there is.

    Parameters
    ----------
    wish
        Teams, places, what is asked for, and the length of a slot, None for as long as fits.
    minutes
        All the time there is, None where it does not matter.
    kept_from
        Groups and the stations that they are not to be at.

    Raises
    ------
    InputError
        Nobody can play like this, or the minutes make no sense.
    """
    limit = slots_given(wish.timing, minutes)
    asked = wish if limit is None else replace(wish, asked=replace(wish.asked, slots=limit))
    planned = plan_games(asked) if wish.is_games else plan_circuit(asked, kept_from)
    return replace(planned, timing=timing_given(wish.timing, minutes, planned.slots))


def planned_in(
    record: ClassRecord, wish: Event, minutes: float | None = None, kept_from: KeptFrom = frozenset()
) -> tuple[ClassRecord, Event]:
    """The record with what is asked for in the place of what its activity had, and this event.

    Where no minutes are given, those of the activity count, if the unit says how long it is; duty falls to those who
    had least of it.

    Raises
    ------
    InputError
        The lesson has been taught, there are results already, or nobody can play like this.
    """
    record.check_open(wish.lesson)
    no_scores_lost(record, wish)
    if minutes is None:
        minutes = activity_meant(record, wish.lesson, wish.activity).minutes
    event = plan(wish, minutes, kept_from)
    if event.is_games:
        event = turned_to_even_duty(record, event)
    return record.with_event(event), event


def measures_of(event: Event) -> tuple[Measure, ...]:
    """How good it is, each figure beside what nothing can beat."""
    return measure_games(event) if event.is_games else measure_circuit(event)


def slots_given(timing: Timing, minutes: float | None) -> int | None:
    """How many slots fit in the minutes; None where nothing limits them.

    >>> slots_given(Timing(6, 2), 38)
    5
    """
    if minutes is None:
        return None
    remedy = "give more than 0 minutes, and an end to them"
    require(0 < minutes < inf, "there is no playing in {minutes:g} minutes", remedy, minutes=minutes)
    if timing.play is None:
        return None
    fit, what = timing.slots_in(minutes), "no slot of {play:g} minutes fits in {minutes:g}"
    require(fit >= 1, what, "give more minutes or shorter slots", play=timing.play, minutes=minutes)
    return fit


def timing_given(timing: Timing, minutes: float | None, slots: int) -> Timing:
    """How long each of so many slots is; what fits is rounded down to half a minute, as nobody plays to the second.

    >>> timing_given(Timing(None, 2), 40, slots=6)
    Timing(play=5.0, changeover=2)
    """
    if timing.play is not None or minutes is None or not slots:
        return timing
    between = (slots - 1) * timing.changeover
    what = "{slots} slots need {between:g} minutes for the changes alone, and there are {minutes:g}"
    remedy = "give more minutes, shorter changes, or the length of a slot"
    require(minutes > between, what, remedy, slots=slots, between=between, minutes=minutes)
    play, what = (minutes - between) / slots, "{slots} slots in {minutes:g} minutes leave {play:.2g} minutes each"
    remedy = "give more minutes, fewer slots, or the length of a slot"
    require(play >= LEAST_THAT_FITS, what, remedy, slots=slots, minutes=minutes, play=play)
    # A hair of rounding is not to cost half a minute.
    return replace(timing, play=floor(2 * play + 1e-9) / 2)


@dataclass(frozen=True)
class Changes:
    """Numbers (of courts, stations or teams) that something is newly wrong with, and those that are right again."""

    wrong: tuple[int, ...] = ()
    right: tuple[int, ...] = ()

    def after(self, before: Iterable[int]) -> tuple[int, ...]:
        """The numbers that something is wrong with now.

        >>> Changes(wrong=(3,), right=(1,)).after((1, 2))
        (2, 3)
        """
        return tuple(sorted((set(before) | set(self.wrong)) - set(self.right)))


def changes_to(count: int, fine: Collection[int], wrong: Collection[int]) -> Changes:
    """What is newly wrong among the numbers to ``count``, and what is right again, from all that is fine now."""
    newly = tuple(number for number in range(1, count + 1) if number not in fine and number not in wrong)
    return Changes(newly, tuple(number for number in wrong if number in fine))


@dataclass(frozen=True)
class TimeLeft:
    """What is known of the time from now on: slots or minutes left, or minutes lost; at most one of the three."""

    slots: int | None = None
    minutes: float | None = None
    lost: float | None = None

    def __post_init__(self) -> None:
        given = [value for value in (self.slots, self.minutes, self.lost) if value is not None]
        require(len(given) < 2, "slots left, minutes left and minutes lost are one question; give one of them")
        least = min(given, default=0)
        require(least >= 0, "there is no time of {least:g}", "give 0 or more", least=least)

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
    places : Changes
        Courts or stations that are closed, and open again.
    missing, short : Changes
        Teams that are not there, and that are back; teams that need players, and that are whole again.
    time : TimeLeft
    played : int or None
        How many slots are over; ``None`` for up to the last one with a result, where there is one since the last
        planning.
    not_played : tuple of int
        Courts on which the game of the last of these slots was not played; it is planned again.
    """

    places: Changes = field(default_factory=Changes)
    missing: Changes = field(default_factory=Changes)
    short: Changes = field(default_factory=Changes)
    time: TimeLeft = field(default_factory=TimeLeft)
    played: int | None = None
    not_played: tuple[int, ...] = ()


def resumed(event: Event, news: News, kept_from: KeptFrom = frozenset()) -> Event:
    """The event with the slots after those that are over planned anew; those over and their results stay as they are.

    Raises
    ------
    InputError
        The news speak of places or teams that do not exist, leave nothing possible, or would undo what was played.
    """
    # Without a result since the last planning nobody can tell how many slots are over but who is asked.
    last, say = event.last_scored, Remedy.SAY_SLOTS_OVER
    told = news.played is not None or (event.is_games and last > event.played)
    require(told, "no result tells how many slots are over", say, least=0)
    played = last if news.played is None else news.played
    require(played >= last, "slot {least} has a result, so that it is over", say, least=last)
    over = event.played
    require(played >= over, "{slots} slots were over already when the rest was planned", Remedy.TAKE_BACK, slots=over)
    event = _without(event, played, news.not_played)
    missing, short = news.missing.after(event.setback.out), news.short.after(event.setback.short)
    setback = Setback(
        news.places.after(event.setback.closed),
        missing,
        tuple(team for team in short if team not in missing),
        _slots_left(event, news, played),
    )
    if event.is_games:
        return replan_games(event, played, setback)
    return replan_circuit(event, played, setback, kept_from)


def _without(event: Event, slot: int, courts: tuple[int, ...]) -> Event:
    """The event without the games of a slot that were not played after all."""
    for court in courts:
        games = [game for game in event.assignments if game.spot == (slot, court)]
        none = "there is no game on court {court} in slot {slot} that could be played later"
        require(bool(games), none, court=court, slot=slot)
        played = "the game on court {court} in slot {slot} has a result, so it was played"
        require(games[0].score is None, played, court=court, slot=slot)
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
