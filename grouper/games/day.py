"""Measures of a day of games, each beside its bound."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

from grouper.games import bounds
from grouper.games.asked import GamesTask
from grouper.games.assemble import duty_of, slots_of, use_of
from grouper.games.carry_over import carry_over_value, least_carry_over
from grouper.games.change import NOTHING_WRONG
from grouper.games.circle import breaks_in
from grouper.games.filling import Rest, played_in
from grouper.games.game import GameSchedule
from grouper.games.measure import Measure, spread
from grouper.games.pairing import Slots
from grouper.games.replan import rest_of_day
from grouper.games.waits import longest_wait


def measure_games(schedule: GameSchedule) -> tuple[Measure, ...]:
    """Slots, waits, evenness and activity of the whole day, each beside a bound that nobody can beat.

    Keys: ``slots``, ``games``, ``games_difference``, ``longest_wait``, ``home_difference``, ``court_difference``,
    ``most_on_one_court``, ``breaks``, ``carry_over``, ``games_without_duty``, ``duty_difference``, ``duty_running``,
    ``active_share``. Differences are between the teams that are there at the end.
    """
    return _Day(schedule).measures()


class _Day:
    """A schedule with what the measures count."""

    def __init__(self, schedule: GameSchedule) -> None:
        self.schedule = schedule
        self.task: GamesTask = schedule.task
        self.slots: Slots = slots_of(schedule.games, schedule.slots)
        self.teams = schedule.change.present(self.task)
        self.games = played_in(self.slots)
        self.as_planned = schedule.change == NOTHING_WRONG and schedule.played == 0
        self.rest: Rest = rest_of_day(schedule, schedule.played, schedule.change)

    def measures(self) -> tuple[Measure, ...]:
        return (*self._extent(), *self._evenness(), *self._flow(), *self._duty(), self._activity())

    def _extent(self) -> tuple[Measure, ...]:
        fewest = bounds.fewest_slots(self.task) if self.as_planned else self.schedule.played + self.rest.fewest_slots()
        most = bounds.games_wanted(self.task) if self.as_planned else self._most_games()
        return (
            Measure("slots", "slots used", self.schedule.slots, fewest),
            Measure("games", "games played", len(self.schedule.games), most, "high"),
        )

    def _most_games(self) -> int:
        return sum(map(len, self.rest.before)) + self.rest.most_games()

    def _evenness(self) -> tuple[Measure, ...]:
        each = [self.games[team] for team in self.teams]
        least = bounds.least_games_difference(self.task) if self.as_planned else self.rest.least_difference()
        return (
            Measure("games_difference", "difference in games between two teams", spread(each), least),
            Measure("home_difference", "difference between games at home and away", *self._homes()),
            *self._courts(each),
        )

    def _homes(self) -> tuple[int, int]:
        surplus: Counter[int] = Counter()
        for game in self.schedule.games:
            surplus[game.home] += 1
            surplus[game.away] -= 1
        reached = max((abs(surplus[team]) for team in self.teams), default=0)
        return reached, int(any(self.games[team] % 2 for team in self.teams))

    def _courts(self, each: list[int]) -> tuple[Measure, Measure]:
        use = use_of(self.schedule.games)
        courts = range(1, self.task.at_once + 1) if self.as_planned else range(1, self.task.courts + 1)
        rows = [[use[team, court] for court in courts] for team in self.teams]
        least = bounds.least_court_difference(self.task, each, self.slots) if self.as_planned else 0
        most = bounds.most_on_one_court(self.task, each) if self.as_planned else -(-max(each, default=0) // len(courts))
        difference = max(map(spread, rows), default=0)
        return (
            Measure("court_difference", "difference between a team's most and least used court", difference, least),
            Measure("most_on_one_court", "most games of a team on one court", max(map(max, rows), default=0), most),
        )

    def _flow(self) -> tuple[Measure, ...]:
        wait = bounds.least_longest_wait(self.task) if self.as_planned else self._wait_bound()
        breaks = bounds.fewest_breaks(self.task) if self.as_planned else 0
        carried = least_carry_over(self.task.teams, len(self.schedule.games))
        return (
            Measure("longest_wait", "most slots running without a game", longest_wait(self.slots, self.teams), wait),
            Measure("breaks", "times at home, or away, twice running", breaks_in(self.slots), breaks),
            Measure("carry_over", "carry-over value", carry_over_value(self.slots), carried),
        )

    def _wait_bound(self) -> int:
        """After a disturbance: the waits that have already happened."""
        return max((longest_wait_over(self.rest.before, team) for team in self.teams), default=0)

    def _duty(self) -> tuple[Measure, ...]:
        if self.task.duty == "none":
            return ()
        turns = duty_of(self.schedule.games, self.schedule.slots)
        free = [set(self.teams) - {team for pair in games for team in pair} for games in self.slots]
        count = Counter(team for names in turns for team in names)
        running = sum(len(set(one) & set(two)) for one, two in pairwise(turns))
        return (
            self._unattended(turns, free),
            Measure(
                "duty_difference",
                "difference in turns on duty",
                spread([count[t] for t in self.teams]),
                self._odd(turns),
            ),
            Measure("duty_running", "times on duty twice running", running, self._forced_runs(turns, free)),
        )

    def _unattended(self, turns: list[list[int]], free: list[set[int]]) -> Measure:
        games = [len(pairs) for pairs in self.slots]
        without = sum(games) - sum(map(len, turns))
        least = sum(max(0, number - len(teams)) for number, teams in zip(games, free, strict=True))
        return Measure("games_without_duty", "games that no team officiates", without, min(without, least))

    def _odd(self, turns: list[list[int]]) -> int:
        return int(self.as_planned and sum(map(len, turns)) % len(self.teams) > 0)

    def _forced_runs(self, turns: list[list[int]], free: list[set[int]]) -> int:
        return bounds.fewest_runs_of_duty([len(names) for names in turns], free) if self.as_planned else 0

    def _activity(self) -> Measure:
        """Slots that are over count all teams, those after them the teams that are there; a duty counts too."""
        over, here, busy = self.schedule.played, len(self.teams), self._busy()
        places = over * self.task.teams + max(0, self.schedule.slots - over) * here
        before = sum(busy[:over]) / max(1, over * self.task.teams)
        at_once = min(self.rest.at_once, self.rest.most_games())
        roles, what = (2, "play") if self.task.duty == "none" else (3, "play or are on duty")
        most = max(before, min(roles * at_once, here) / here)
        return Measure(
            "active_share", f"share of the teams that {what}, on average", sum(busy) / max(1, places), most, "high"
        )

    def _busy(self) -> list[int]:
        """How many teams play or have a duty in each slot."""
        turns = duty_of(self.schedule.games, self.schedule.slots)
        return [2 * len(games) + len(on_duty) for games, on_duty in zip(self.slots, turns, strict=True)]


def longest_wait_over(before: Slots, team: int) -> int:
    """The longest wait of a team that had ended when the slots were over."""
    places = [place for place, games in enumerate(before) if any(team in pair for pair in games)]
    return max((later - earlier - 1 for earlier, later in pairwise([-1, *places])), default=0)
