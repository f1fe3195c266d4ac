"""Play goes on after something went wrong: what was played stays, the rest is planned anew."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace

from grouper.games.asked import require
from grouper.games.change import Change
from grouper.games.days.keep import Place, circuit_of, kept_circuit, kept_games, schedule_of
from grouper.games.days.time_left import TimeLeft
from grouper.games.replan import replan_games
from grouper.games.reroute import reroute_circuit
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.words import Remedy


@dataclass(frozen=True)
class Turned:
    """Numbers (of courts, teams or stations) that something is newly wrong with, and those that are right again."""

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
class GamesNews:
    """What is new on a day of games; what went wrong before still holds unless it is right again.

    Parameters
    ----------
    courts : Turned
        Closed, and open again.
    missing, short : Turned
        Teams that are not there, and that are back; teams that need players, and that are whole again.
    time : TimeLeft
    played : int or None
        How many slots are over; ``None`` for up to the last one with a result, where there is one since the last
        planning.
    not_played : tuple of int
        Courts on which the game of the last of these slots was not played; it is planned again.
    """

    courts: Turned = field(default_factory=Turned)
    missing: Turned = field(default_factory=Turned)
    short: Turned = field(default_factory=Turned)
    time: TimeLeft = field(default_factory=TimeLeft)
    played: int | None = None
    not_played: tuple[int, ...] = ()


def resumed_games(day: GamesDay, news: GamesNews) -> GamesDay:
    """The day with the games after those that are over planned anew; those over and their results stay as they are.

    Raises
    ------
    InputError
        The news speak of courts or teams that do not exist, leave no game possible, or would undo what was played.
    """
    played = _up_to_last_result(day) if news.played is None else news.played
    _check_played(day.played, day.last_scored, played)
    day = _without(day, played, news.not_played)
    change = _change(day, news, played)
    planned = replan_games(schedule_of(day), played, change)
    place = Place(day.lesson, day.activity, day.round)
    later = kept_games(planned, day.teams, day.timing, place)
    over = tuple(fixture for fixture in day.fixtures if fixture.slot <= played)
    return replace(later, fixtures=(*over, *(fixture for fixture in later.fixtures if fixture.slot > played)))


def _up_to_last_result(day: GamesDay) -> int:
    """The last slot with a result; without one since the last planning nobody can tell what was played."""
    require(
        day.last_scored > day.played,
        "no result tells how many slots are over",
        Remedy.SAY_SLOTS_OVER,
        least=0,
    )
    return day.last_scored


def _without(day: GamesDay, slot: int, courts: tuple[int, ...]) -> GamesDay:
    """The day without the games of a slot that were not played after all."""
    for court in courts:
        games = [game for game in day.fixtures if (game.slot, game.court) == (slot, court)]
        require(bool(games), f"there is no game on court {court} in slot {slot} that could be played later")
        require(games[0].score is None, f"the game on court {court} in slot {slot} has a result, so it was played")
        day = replace(day, fixtures=tuple(game for game in day.fixtures if game != games[0]))
    return day


def _check_played(planned_at: int, last_scored: int, played: int) -> None:
    require(
        played >= last_scored,
        "slot {least} has a result, so that it is over",
        Remedy.SAY_SLOTS_OVER,
        least=last_scored,
    )
    require(
        played >= planned_at,
        "{slots} slots were over already when the rest was planned",
        Remedy.TAKE_BACK,
        slots=planned_at,
    )


def _change(day: GamesDay, news: GamesNews, played: int) -> Change:
    missing = news.missing.after(day.setback.teams_out)
    short = news.short.after(day.setback.teams_short)
    return Change(
        news.courts.after(day.setback.courts_closed),
        missing,
        tuple(team for team in short if team not in missing),
        _slots_left(day, news, played),
    )


def _slots_left(day: GamesDay, news: GamesNews, played: int) -> int | None:
    """A limit where there is one; without news on the time, the one from before less what was played since."""
    known = _limit(day, played)
    if news.time == TimeLeft():
        return known
    return news.time.slots_left(max(0, day.slots - played) if known is None else known, day.timing)


def _limit(day: GamesDay, played: int) -> int | None:
    if day.setback.slots_left is not None:
        return max(0, day.setback.slots_left - (played - day.played))
    return None if day.asked.slots is None else max(0, day.asked.slots - played)


@dataclass(frozen=True)
class CircuitNews:
    """What is new in a circuit: stations closed and open again, the time left, and how many slots are over (needed)."""

    stations: Turned = field(default_factory=Turned)
    time: TimeLeft = field(default_factory=TimeLeft)
    played: int | None = None


def resumed_circuit(day: CircuitDay, news: CircuitNews) -> CircuitDay:
    """The circuit with the slots after those that are over planned anew; those over stay as they are.

    Raises
    ------
    InputError
        The news speak of stations that do not exist, or leave none open.
    """
    require(news.played is not None, "it is not known how many slots are over", Remedy.SAY_SLOTS_OVER, least=0)
    played = news.played or 0
    _check_played(day.played, 0, played)
    left = news.time.slots_left(max(0, day.last_slot - played), day.timing)
    schedule = reroute_circuit(circuit_of(day), played, news.stations.after(day.closed), left)
    return kept_circuit(schedule, day.groups, day.stations, day.timing, Place(day.lesson, day.activity, day.round))
