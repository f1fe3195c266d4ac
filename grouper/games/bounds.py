"""What no schedule of games can beat: bounds beside the measures of a day that went as planned, and of one
that did not."""

from __future__ import annotations

from collections.abc import Sequence

from grouper.games.asked import GamesTask
from grouper.games.pairing import Slots


def fewest_slots(task: GamesTask) -> int:
    """The slots that the games take at least: ceil(games / games at once), or the slots there are."""
    needed = -(-games_wanted(task) // task.at_once)
    return needed if task.slots is None else min(needed, task.slots)


def games_wanted(task: GamesTask) -> int:
    """The games of all legs, or as many as the slots hold."""
    room = None if task.slots is None else task.slots * task.at_once
    wanted = None if task.legs is None else task.legs * task.pairs
    return min(number for number in (room, wanted) if number is not None)


def least_games_difference(task: GamesTask) -> int:
    """0 where the games can be shared out evenly, else 1."""
    return int(2 * games_wanted(task) % task.teams > 0)


def least_longest_wait(task: GamesTask) -> int:
    """The slots running without a game that some team cannot be spared.

    In w slots at most w * c games are played, so for everyone to play in any w slots, w * c must be n/2 or more, and
    places left empty must not use up what is above that. And where w * c is exactly n/2, waiting less would part the
    teams into groups that play in turn and never meet.
    """
    needed = -(-task.teams // 2)
    window = -(-needed // task.at_once)
    slots = fewest_slots(task)
    if window >= slots:
        return min(slots, window - 1)
    spare = window * task.at_once - needed
    empty = slots * task.at_once - games_wanted(task)
    crowded = empty > spare * -(-slots // window)
    groups = window > 1 and 2 * window * task.at_once == task.teams and games_wanted(task) >= task.pairs
    return window - 1 + (crowded or groups)


def fewest_breaks(task: GamesTask) -> int:
    """n - 2 (de Werra 1981) for a single leg of an even number of teams on courts for all of them; else 0 is
    not ruled out.

    Two teams that never break would have to be at home in different rounds, so at most two teams never do.
    """
    complete = task.at_once == task.teams // 2 and games_wanted(task) >= task.pairs
    return task.teams - 2 if complete and task.teams % 2 == 0 else 0


def least_court_difference(task: GamesTask, games_each: Sequence[int], slots: Slots) -> int:
    """How far a team's most and least used court must differ for some team.

    Equal use asks that the courts divide each team's games, and all games. On two courts a team with an even number of
    games differs by an even number.
    """
    courts = task.at_once
    total = sum(map(len, slots))
    if courts == 1:
        return 0
    if all(games % courts == 0 for games in games_each) and total % courts == 0:
        return 0
    return 2 if courts == 2 and all(games % 2 == 0 for games in games_each) else 1


def most_on_one_court(task: GamesTask, games_each: Sequence[int]) -> int:
    """The games that some team must have on one of the courts; 3 for 4 teams on 2 courts, which have no
    balanced design."""
    if task.teams == 4 and task.at_once == 2 and max(games_each, default=0) == 3:
        return 3
    return max((-(-games // task.at_once) for games in games_each), default=0)


def fewest_runs_of_duty(need: Sequence[int], free: Sequence[set[int]]) -> int:
    """How often a team must be on duty in two slots running: where both need more teams than are free in either."""
    pairs = zip(zip(need, free, strict=True), zip(need[1:], free[1:], strict=True), strict=False)
    return sum(max(0, one + two - len(here | there)) for (one, here), (two, there) in pairs)
