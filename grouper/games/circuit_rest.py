"""The rest of a circuit that is planned anew: what is open, and a first way through it.

Where everyone moves on in one direction, they go on so through what is open. Else two kinds of flow say who visits
what, then slot by slot when: a visit to a station not yet done is worth most, so that the first flow leaves out as few
stations as can be. Its visits are then dealt out to slots. As the groups have a visit a slot and a flow has whole
numbers wherever it has fractions, each slot can take its even share of what every station still has before it (D. de
Werra 1971 on balanced colours).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from grouper.errors import OurBugError
from grouper.model.play import Assignment

NEW = 1000
"""What a station not yet done is worth; more than how often any other can have been visited."""

Way = list[int]
"""The stations of a group in the slots of the rest, slot by slot."""

Visit = tuple[int, int]
"""A group and a station."""

Share = Mapping[int, tuple[int, int]]
"""The fewest and the most visits to each station."""


class WayCost(NamedTuple):
    """What a group's way costs, or those of all groups; the first that differs decides."""

    early: int
    missed: int
    again: int


@dataclass(frozen=True)
class RestOfCircuit:
    """What is to be planned: everyone works in every slot, evenly spread over the open stations.

    Parameters
    ----------
    groups : int
        How many; they are numbered from 1.
    stations : tuple of int
        Those that are open.
    slots : int
        How many are planned.
    done : tuple of Assignment
        What has been worked, in order.
    """

    groups: int
    stations: tuple[int, ...]
    slots: int
    done: tuple[Assignment, ...] = ()

    @property
    def fewest_at(self) -> int:
        """The fewest groups at a station in a slot."""
        return self.groups // len(self.stations)

    @property
    def most_at(self) -> int:
        """The most groups at a station in a slot: as many as with so many stations from the start."""
        return -(-self.groups // len(self.stations))

    @cached_property
    def been(self) -> Counter[Visit]:
        """How often each group has been at each station."""
        return Counter((group, one.place) for one in self.done for group in one.teams)

    @cached_property
    def last(self) -> dict[int, int]:
        """Where each group was last."""
        return {group: one.place for one in self.done for group in one.teams}

    def lacking(self, group: int) -> set[int]:
        """The open stations that a group has not been at."""
        return set(self._lacking[group])

    @cached_property
    def slots_needed(self) -> int:
        """No fewer slots take every group to every open station."""
        wanted = Counter(station for stations in self._lacking.values() for station in stations)
        return max([*map(len, self._lacking.values()), *(-(-number // self.most_at) for number in wanted.values())])

    def cost(self, group: int, way: Way) -> WayCost:
        """Visits again while an open station is lacking, stations missed in the end, and how often one comes again.

        A third time at a station counts twice as much as a second, and staying there counts once more.
        """
        lacking, times, here = self.lacking(group), self._times[group].copy(), self.last.get(group, 0)
        early = again = 0
        for station in way:
            early += bool(lacking) and station not in lacking
            again += times[station] + (station == here)
            lacking.discard(station)
            times[station] += 1
            here = station
        return WayCost(early, len(lacking), again)

    # Asked some hundred thousand times by the search, so kept by group.
    @cached_property
    def _lacking(self) -> dict[int, set[int]]:
        been = self.been
        return {g: {s for s in self.stations if not been[g, s]} for g in range(1, self.groups + 1)}

    @cached_property
    def _times(self) -> dict[int, dict[int, int]]:
        return {group: {s: self.been[group, s] for s in self.stations} for group in range(1, self.groups + 1)}


def turning_ways(rest: RestOfCircuit) -> list[Way]:
    """Everyone's way where all move on to the next open station in every slot, the last to the first.

    Where they enter this round is shared out evenly, at the next open station after the one where they were as far as
    that goes, and so that little is left out or done again.
    """
    count = len(rest.stations)
    onward = {
        station: [rest.stations[(at + slot) % count] for slot in range(rest.slots)]
        for at, station in enumerate(rest.stations)
    }
    prices = {}
    for group in range(1, rest.groups + 1):
        # Before anything is done no place is the next, and groups stand in order.
        after = rest.last.get(group, 0)
        first = sum(s <= after for s in rest.stations) if rest.done else group - 1
        for at, station in enumerate(rest.stations):
            early, missed, again = rest.cost(group, onward[station])
            prices[group, station] = [(early + missed) * 400 + (at - first) % count * 20 + again]
    enters = dict(_cheapest(prices, 1, dict.fromkeys(rest.stations, (rest.fewest_at, rest.most_at))).keys())
    return [onward[enters[group]] for group in range(1, rest.groups + 1)]


def visits_of(rest: RestOfCircuit) -> Counter[Visit]:
    """How often each group is at each open station in the rest: fewest missed, then fewest again, evenly."""
    share = dict.fromkeys(rest.stations, (rest.slots * rest.fewest_at, rest.slots * rest.most_at))
    prices = {
        (group, station): [times or -NEW for times in range(been, been + rest.slots)]
        for group in range(1, rest.groups + 1)
        for station in rest.stations
        for been in [rest.been[group, station]]
    }
    return _cheapest(prices, rest.slots, share)


def missed_by(rest: RestOfCircuit) -> int:
    """The fewest visits to open stations that are left out, over all groups."""
    visits = visits_of(rest)
    return sum(not visits[group, s] for group in range(1, rest.groups + 1) for s in rest.lacking(group))


def first_ways(rest: RestOfCircuit) -> list[Way]:
    """Everyone's station in each slot, group 1 first: dealt from the front or from the back, whichever is cheaper.

    From the front each slot takes as many new visits as it can; from the back as many to stations done already.
    """
    visits = visits_of(rest)
    return min((_dealt(rest, visits, from_back) for from_back in (False, True)), key=lambda ways: _early(rest, ways))


def _early(rest: RestOfCircuit, ways: list[Way]) -> int:
    return sum(rest.cost(group, way).early for group, way in enumerate(ways, start=1))


def _dealt(rest: RestOfCircuit, visits: Counter[Visit], from_back: bool) -> list[Way]:
    left, been = Counter(visits), Counter(rest.been)
    ways: list[Way] = [[] for _ in range(rest.groups)]
    for slots in range(rest.slots, 0, -1):
        if from_back:
            wanted = {place for place, times in left.items() if times + rest.been[place] > 1}
        else:
            wanted = {place for place in left if not been[place]}
        for group, station in _one_slot(left, slots, wanted):
            left[group, station] -= 1
            been[group, station] += 1
            ways[group - 1].append(station)
    return [way[::-1] for way in ways] if from_back else ways


def _one_slot(left: Counter[Visit], slots: int, wanted: set[Visit]) -> list[Visit]:
    """One of so many slots: an even share of the visits left to each station, those that are wanted first."""
    at_station = Counter[int]()
    for (_, station), times in sorted(left.items()):
        at_station[station] += times
    share = {station: (number // slots, -(-number // slots)) for station, number in at_station.items()}
    prices = {place: [-1 if place in wanted else 0] for place, times in sorted(left.items()) if times}
    return sorted(_cheapest(prices, 1, share))


def _cheapest(prices: Mapping[Visit, list[int]], each: int, share: Share) -> Counter[Visit]:
    """How often each group is at each station: ``each`` times in all, shared out, at the lowest price.

    Parameters
    ----------
    prices : mapping of (group, station) to list of int
        What the first, second, ... visit costs.
    each : int
        Visits of a group.
    share : mapping of station to (int, int)
        The fewest and the most visits to a station; there are as many as these allow.
    """
    from ortools.graph.python.min_cost_flow import SimpleMinCostFlow

    flow, groups = SimpleMinCostFlow(), sorted({group for group, _ in prices})
    station_node = {station: number for number, station in enumerate(share, start=1 + max(groups))}
    arcs = {
        flow.add_arc_with_capacity_and_unit_cost(group, station_node[station], 1, price): (group, station)
        for (group, station), row in prices.items()
        for price in row
    }
    dearest = max((abs(price) for row in prices.values() for price in row), default=0)
    dear = 2 * max(NEW, dearest) * len(groups) * each
    for station, (fewest, most) in share.items():
        flow.add_arc_with_capacity_and_unit_cost(station_node[station], 0, fewest, -dear)
        flow.add_arc_with_capacity_and_unit_cost(station_node[station], 0, most - fewest, 0)
    for group in groups:
        flow.set_node_supply(group, each)
    flow.set_node_supply(0, -each * len(groups))
    if flow.solve() != flow.OPTIMAL:
        raise OurBugError("the groups do not fit at the stations that are open", faults=("no flow",))
    return Counter(place for arc, place in arcs.items() if flow.flow(arc))
