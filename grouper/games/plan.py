"""Plans a round robin: who plays whom, when, on which court, and who officiates."""

from __future__ import annotations

from grouper.games.asked import GamesTask
from grouper.games.assemble import games_of
from grouper.games.court_use import settled_courts
from grouper.games.draws import draw_for
from grouper.games.game import GameSchedule
from grouper.games.homes import evened_homes, settled_homes
from grouper.games.officials import Eligible, Turns, duty_turns
from grouper.games.pairing import Slots


def plan_games(task: GamesTask) -> GameSchedule:
    """The schedule for a task, from the first construction that fits; the same task always gives the same schedule.

    Examples
    --------
    >>> schedule = plan_games(GamesTask(teams=6, courts=2))
    >>> schedule.slots, len(schedule.games)
    (8, 15)
    """
    draw = draw_for(task)
    drawn = draw.draw(task)
    slots = evened_homes(drawn.slots) if drawn.homes_settled else settled_homes(drawn.slots)
    courts = drawn.courts or settled_courts(slots, range(1, task.at_once + 1))
    return GameSchedule(task, games_of(slots, courts, _duty(slots, task)), draw.name)


def _duty(slots: Slots, task: GamesTask) -> Turns:
    if task.duty == "none":
        return [[] for _ in slots]
    return duty_turns(slots, Eligible(range(1, task.teams + 1)))
