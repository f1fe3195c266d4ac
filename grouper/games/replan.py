"""Plans the rest of a day anew when something goes wrong; what was played stays as it was."""

from __future__ import annotations

from collections import Counter

from grouper.games.asked import GamesTask, require
from grouper.games.assemble import duty_of, games_of, loans_for, slots_of, use_of
from grouper.games.change import Change
from grouper.games.court_use import settled_courts
from grouper.games.fillers import filled
from grouper.games.filling import Rest
from grouper.games.game import Game, GameSchedule
from grouper.games.homes import settled_homes
from grouper.games.officials import Eligible, Turns, duty_turns
from grouper.games.pairing import Pair, Slots


def replan_games(schedule: GameSchedule, played: int, change: Change) -> GameSchedule:
    """The same day with the games after the slots that are over planned anew.

    Evenness in games, homes, courts and duty counts the whole day. A team that comes back is there again when it is no
    longer among ``change.teams_out``: the games that it missed are planned as far as slots allow.

    Parameters
    ----------
    schedule : GameSchedule
    played : int
        How many slots are over; their games are kept exactly.
    change : Change
        What holds from the next slot on (not only what is new).

    Raises
    ------
    InputError
        When the change speaks of courts or teams that do not exist, or leaves no game possible.
    """
    task = schedule.task
    require(0 <= played <= schedule.slots, f"{played} slots cannot be over; the day has {schedule.slots}")
    change.check(task)
    done = tuple(game for game in schedule.games if game.slot <= played)
    rest = rest_of_day(schedule, played, change)
    name, slots = filled(rest)
    later = _later_games(slots, done, rest, change, task)
    loans = tuple(loan for loan in schedule.loans if loan.slot <= played)
    loans += loans_for(later, change.teams_short, rest.teams)
    return GameSchedule(task, done + later, name, played, change, loans)


def rest_of_day(schedule: GameSchedule, played: int, change: Change) -> Rest:
    """What is left to play, by whom and within which limits."""
    task = schedule.task
    present = change.present(task)
    done = [game for game in schedule.games if game.slot <= played]
    limits = [
        n for n in (change.slots_left, None if task.slots is None else max(0, task.slots - played)) if n is not None
    ]
    return Rest(
        teams=present,
        left=tuple(_games_left(schedule, played, set(present))),
        at_once=_at_once(task, change),
        slots=min(limits) if limits else None,
        before=slots_of(done, played),
    )


def _at_once(task: GamesTask, change: Change) -> int:
    """Most games in a slot: with a short team, one team at least stays without a game to lend players."""
    present = len(change.present(task))
    able = present - bool(change.teams_short) if present > 2 else present
    return max(1, min(len(change.open_courts(task)), able // (3 if task.duty == "always" else 2)))


def _games_left(schedule: GameSchedule, played: int, present: set[int]) -> list[Pair]:
    """Games planned for later first, in their order, then those that fell out before."""
    legs = schedule.task.legs
    left = [(game.home, game.away) for game in schedule.games if game.slot > played]
    if legs is not None:
        met = Counter(game.pair for game in schedule.games)
        teams = range(1, schedule.task.teams + 1)
        left += [(a, b) for leg in range(legs) for a in teams for b in teams if a < b and met[a, b] <= leg]
    return [pair for pair in left if present.issuperset(pair)]


def _later_games(slots: Slots, done: tuple[Game, ...], rest: Rest, change: Change, task: GamesTask) -> tuple[Game, ...]:
    played = len(rest.before)
    homed = settled_homes(slots, rest.before)
    courts = settled_courts(homed, change.open_courts(task)[: rest.at_once], use_of(done))
    return games_of(homed, courts, _duty(homed, done, rest, change, task), played + 1)


def _duty(slots: Slots, done: tuple[Game, ...], rest: Rest, change: Change, task: GamesTask) -> Turns:
    if task.duty == "none":
        return [[] for _ in slots]
    lenders = [sum(team in change.teams_short for pair in games for team in pair) for games in slots]
    return duty_turns(slots, Eligible(rest.teams, duty_of(done, len(rest.before)), lenders))
