"""What the rest of a circuit costs, counted visit by visit, and the cheapest of all rests by trying every one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import combinations, product

from grouper.model.play import Event

from .checks import Visit
from .checks import visits as visits_of

Cost = tuple[int, int, int]
"""Visits again while an open station is lacking, open stations never done, meetings of two groups after their first."""


def cost_of(visits: Iterable[Visit], groups: int, stations: Iterable[int], played: int) -> Cost:
    """The cost of a circuit whose stations are open after ``played`` slots."""
    been: dict[int, set[int]] = {group: set() for group in range(1, groups + 1)}
    early, there, wanted = 0, {}, set(stations)  # type: int, dict[tuple[int, int], list[int]], set[int]
    for visit in sorted(visits):
        early += visit.slot > played and visit.station in been[visit.group] and not wanted <= been[visit.group]
        been[visit.group].add(visit.station)
        there.setdefault((visit.slot, visit.station), []).append(visit.group)
    met = Counter(duo for here in there.values() for duo in combinations(sorted(here), 2))
    return early, sum(len(wanted - seen) for seen in been.values()), met.total() - len(met)


def rest_cost(schedule: Event) -> Cost:
    """The cost of a circuit that was planned anew."""
    return cost_of(visits_of(schedule), len(schedule.teams), schedule.open_places, schedule.played)


@cache
def even_slots(groups: int, stations: tuple[int, ...]) -> list[tuple[int, ...]]:
    """All ways to place everyone in a slot such that no two stations differ by more than one group."""
    ways = product(stations, repeat=groups)
    return [way for way in ways if max(n := [way.count(s) for s in stations]) - min(n) <= 1]


def every_rest(schedule: Event, slots: int) -> Iterator[list[Visit]]:
    """All even rests of so many slots after what was worked."""
    done = [visit for visit in visits_of(schedule) if visit.slot <= schedule.played]
    for ways in product(even_slots(len(schedule.teams), schedule.open_places), repeat=slots):
        later = enumerate(ways, start=schedule.played + 1)
        yield done + [Visit(slot, s, g) for slot, way in later for g, s in enumerate(way, start=1)]


def cheapest(schedule: Event, slots: int) -> Cost:
    """The least cost of any even rest of so many slots, found by trying all of them."""
    groups, stations, played = len(schedule.teams), schedule.open_places, schedule.played
    return min(cost_of(rest, groups, stations, played) for rest in every_rest(schedule, slots))
