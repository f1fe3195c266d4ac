"""What a schedule of games must hold, counted in plain words and independently of the planner."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from functools import cache
from itertools import pairwise

from grouper.games.asked import GamesTask
from grouper.games.game import Game, GameSchedule
from grouper.games.plan import plan_games


@cache
def planned(teams: int, courts: int) -> GameSchedule:
    """The schedule of a single leg, planned once for all the checks that look at it."""
    return plan_games(GamesTask(teams, courts))


def slots(games: Iterable[Game]) -> dict[int, list[Game]]:
    """The games by slot."""
    by_slot: dict[int, list[Game]] = defaultdict(list)
    for game in games:
        by_slot[game.slot].append(game)
    return by_slot


def assert_nobody_in_two_places(games: Iterable[Game]) -> None:
    """No team plays or officiates twice in a slot, and no court has two games."""
    for here in slots(games).values():
        places = [team for g in here for team in (g.home, g.away, g.duty) if team is not None]
        assert len(places) == len(set(places))
        assert len(here) == len({g.court for g in here})


def meetings(games: Iterable[Game]) -> Counter[frozenset[int]]:
    """How often every two teams meet."""
    return Counter(frozenset((g.home, g.away)) for g in games)


def games_each(games: Iterable[Game], teams: Iterable[int]) -> list[int]:
    """The games of each team."""
    count = Counter(team for g in games for team in (g.home, g.away))
    return [count[team] for team in teams]


def home_differences(games: Iterable[Game], teams: Iterable[int]) -> list[int]:
    """Home less away of each team."""
    home, away = Counter(g.home for g in games), Counter(g.away for g in games)
    return [home[team] - away[team] for team in teams]


def breaks(games: Iterable[Game], teams: Iterable[int]) -> int:
    """How often a team is at home, or away, twice running."""
    total = 0
    for team in teams:
        venue = [g.home == team for g in sorted(games) if team in (g.home, g.away)]
        total += sum(one == two for one, two in pairwise(venue))
    return total


def longest_wait(games: list[Game], team: int) -> int:
    """The most slots running without a game of the team, in a day of as many slots as are used."""
    playing = {g.slot for g in games if team in (g.home, g.away)}
    longest = run = 0
    for slot in range(1, max(g.slot for g in games) + 1):
        run = 0 if slot in playing else run + 1
        longest = max(longest, run)
    return longest


def court_use(games: Iterable[Game]) -> Counter[tuple[int, int]]:
    """How often each team is on each court."""
    return Counter((team, g.court) for g in games for team in (g.home, g.away))
