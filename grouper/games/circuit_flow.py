"""A first way through the rest of a circuit, by two kinds of flow: who visits what, then slot by slot when.

A visit to a station not yet done is worth most, so that the first flow leaves out as few stations as can be. Its
visits are then dealt out to slots. As the groups have a visit a slot and a flow has whole numbers wherever it has
fractions, each slot can take its even share of what every station still has before it (D. de Werra 1971 on balanced
colours).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from grouper.errors import OurBugError
from grouper.games.circuit_rest import RestOfCircuit, Way

NEW = 1000
"""What a station not yet done is worth; more than how often any other can have been visited."""

Place = tuple[int, int]
"""A group and a station."""

Share = Mapping[int, tuple[int, int]]
"""The fewest and the most visits to each station."""


def visits_of(rest: RestOfCircuit) -> Counter[Place]:
    """How often each group is at each open station in the rest: fewest missed, then fewest again, evenly."""
    share = dict.fromkeys(rest.stations, (rest.slots * rest.fewest_at, rest.slots * rest.most_at))
    prices = {
        (group, station): [_price(rest.been[group, station] + time) for time in range(rest.slots)]
        for group in range(1, rest.groups + 1)
        for station in rest.stations
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
    return min((_from_front(rest, visits), _from_back(rest, visits)), key=lambda ways: _early(rest, ways))


def _early(rest: RestOfCircuit, ways: list[Way]) -> int:
    return sum(rest.cost(group, way).early for group, way in enumerate(ways, start=1))


def _from_front(rest: RestOfCircuit, visits: Counter[Place]) -> list[Way]:
    left, been = Counter(visits), Counter(rest.been)
    ways: list[Way] = [[] for _ in range(rest.groups)]
    for slots in range(rest.slots, 0, -1):
        for group, station in _one_slot(left, slots, {place for place in left if not been[place]}):
            left[group, station] -= 1
            been[group, station] += 1
            ways[group - 1].append(station)
    return ways


def _from_back(rest: RestOfCircuit, visits: Counter[Place]) -> list[Way]:
    left = Counter(visits)
    ways: list[Way] = [[] for _ in range(rest.groups)]
    for slots in range(rest.slots, 0, -1):
        again = {place for place, times in left.items() if times + rest.been[place] > 1}
        for group, station in _one_slot(left, slots, again):
            left[group, station] -= 1
            ways[group - 1].insert(0, station)
    return ways


def _one_slot(left: Counter[Place], slots: int, wanted: set[Place]) -> list[Place]:
    """One of so many slots: an even share of the visits left to each station, those that are wanted first."""
    at_station = Counter[int]()
    for (_, station), times in sorted(left.items()):
        at_station[station] += times
    share = {station: (number // slots, -(-number // slots)) for station, number in at_station.items()}
    prices = {place: [-1 if place in wanted else 0] for place, times in sorted(left.items()) if times}
    return sorted(_cheapest(prices, 1, share))


def _price(times: int) -> int:
    return times if times else -NEW


def _cheapest(prices: Mapping[Place, list[int]], each: int, share: Share) -> Counter[Place]:
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
    dear = 2 * NEW * len(groups) * each
    for station, (fewest, most) in share.items():
        flow.add_arc_with_capacity_and_unit_cost(station_node[station], 0, fewest, -dear)
        flow.add_arc_with_capacity_and_unit_cost(station_node[station], 0, most - fewest, 0)
    for group in groups:
        flow.set_node_supply(group, each)
    flow.set_node_supply(0, -each * len(groups))
    if flow.solve() != flow.OPTIMAL:
        raise OurBugError("the groups do not fit at the stations that are open", faults=("no flow",))
    return Counter(place for arc, place in arcs.items() if flow.flow(arc))
