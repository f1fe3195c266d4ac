"""What a schedule of games must hold, counted in plain words and independently of the planner."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from grouper.games.circuits import replan_circuit
from grouper.games.days.plan import plan
from grouper.games.measure import Measure
from grouper.model.play import GAMES, STATIONS, Asked, Assignment, Event, Setback


def games(
    teams: int,
    courts: int,
    legs: int | None = 1,
    slots: int | None = None,
    order: str = "breaks",
    duty: str = "spare",
) -> Event:
    """Games that are asked for, for teams that are mere numbers."""
    return Event(GAMES, _numbers(teams), ("",) * courts, asked=Asked(legs, slots, order, duty))


def stations(groups: int, stations: int, slots: int | None = None, order: str = "balanced") -> Event:
    """Stations that are asked for, for groups that are mere numbers."""
    return Event(STATIONS, _numbers(groups), ("",) * stations, asked=Asked(slots=slots, order=order))


def _numbers(count: int) -> tuple[str, ...]:
    return tuple(map(str, range(1, count + 1)))


class Visit(NamedTuple):
    """A group at a station in a slot."""

    slot: int
    station: int
    group: int


def visits(event: Event) -> list[Visit]:
    """Who is at which station when, a group at a time, in order."""
    return sorted(Visit(one.slot, one.place, group) for one in event.assignments for group in one.teams)


def of_visits(visits: list[Visit]) -> tuple[Assignment, ...]:
    """Visits as the assignments of an event."""
    spots = sorted({(visit.slot, visit.station) for visit in visits})
    return tuple(
        Assignment(*spot, tuple(sorted(v.group for v in visits if (v.slot, v.station) == spot))) for spot in spots
    )


def closed_after(event: Event, played: int, closed: tuple[int, ...], slots_left: int | None = None) -> Event:
    """A circuit whose rest is planned anew, as stations are closed after the slots that are over."""
    return replan_circuit(event, played, Setback(closed, slots_left=slots_left))


@cache
def planned(teams: int, courts: int) -> Event:
    """Games of a single leg, planned once for all the checks that look at them."""
    return plan(games(teams, courts))


def slots(games: Iterable[Assignment]) -> dict[int, list[Assignment]]:
    """The games by slot."""
    by_slot: dict[int, list[Assignment]] = defaultdict(list)
    for game in games:
        by_slot[game.slot].append(game)
    return by_slot


def assert_nobody_in_two_places(games: Iterable[Assignment]) -> None:
    """No team plays or officiates twice in a slot, and no court has two games."""
    for here in slots(games).values():
        places = [team for g in here for team in (g.home, g.away, g.duty) if team is not None]
        assert len(places) == len(set(places))
        assert len(here) == len({g.place for g in here})


def meetings(games: Iterable[Assignment]) -> Counter[frozenset[int]]:
    """How often every two teams meet."""
    return Counter(frozenset((g.home, g.away)) for g in games)


def games_each(games: Iterable[Assignment], teams: Iterable[int]) -> list[int]:
    """The games of each team."""
    count = Counter(team for g in games for team in (g.home, g.away))
    return [count[team] for team in teams]


def home_differences(games: Iterable[Assignment], teams: Iterable[int]) -> list[int]:
    """Home less away of each team."""
    home, away = Counter(g.home for g in games), Counter(g.away for g in games)
    return [home[team] - away[team] for team in teams]


def breaks(games: Iterable[Assignment], teams: Iterable[int]) -> int:
    """How often a team is at home, or away, twice running."""
    total = 0
    for team in teams:
        venue = [g.home == team for g in sorted(games, key=lambda game: game.spot) if team in (g.home, g.away)]
        total += sum(one == two for one, two in pairwise(venue))
    return total


def longest_wait(games: list[Assignment], team: int) -> int:
    """The most slots running without a game of the team, in a day of as many slots as are used."""
    playing = {g.slot for g in games if team in (g.home, g.away)}
    longest = run = 0
    for slot in range(1, max(g.slot for g in games) + 1):
        run = 0 if slot in playing else run + 1
        longest = max(longest, run)
    return longest


def court_use(games: Iterable[Assignment]) -> Counter[tuple[int, int]]:
    """How often each team is on each court."""
    return Counter((team, g.place) for g in games for team in (g.home, g.away))


def by_key(measures: Iterable[Measure]) -> dict[str, Measure]:
    """The measures under their keys."""
    return {measure.key: measure for measure in measures}
