"""The rest of a circuit that is planned anew: what is open, a first way through it, and a better one by exchanges.

Where everyone moves on in one direction, they go on so through what is open. Else two kinds of flow say who visits
what, then slot by slot when: a visit to a station not yet done is worth most, so that the first flow leaves out as few
stations as can be. Its visits are then dealt out to slots. As the groups have a visit a slot and a flow has whole
numbers wherever it has fractions, each slot can take its even share of what every station still has before it (D. de
Werra 1971 on balanced colours). Exchanges then keep everyone at work and stations evenly full.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import exp
from random import Random
from typing import NamedTuple

from grouper.errors import OurBugError
from grouper.model.play import Assignment

NEW = 1000
"""What a station not yet done is worth; more than how often any other can have been visited."""

UNWANTED = 100
"""A visit of somebody to where they are not to be is as bad as so many visits again while a station is lacking."""

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
    kept_from : frozenset of (group, station)
        Who is not to be where, as far as that can be: worse than anything else, and never counted as missed.
    """

    groups: int
    stations: tuple[int, ...]
    slots: int
    done: tuple[Assignment, ...] = ()
    kept_from: frozenset[Visit] = frozenset()

    @cached_property
    def fewest_at(self) -> int:
        """The fewest groups at a station in a slot."""
        return self.groups // len(self.stations)

    @cached_property
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
        # Half of all exchanges are taken back, to ways that were reckoned already.
        known = self._known.get(asked := (group, *way))
        if known is None:
            known = self._known[asked] = self._cost(group, way)
        return known

    @cached_property
    def _known(self) -> dict[tuple[int, ...], WayCost]:
        return {}

    def _cost(self, group: int, way: Way) -> WayCost:
        lacking, times, here = self.lacking(group), self._times[group].copy(), self.last.get(group, 0)
        early = again = 0
        for station in way:
            early += bool(lacking) and station not in lacking
            early += UNWANTED * ((group, station) in self.kept_from)
            again += times[station] + (station == here)
            lacking.discard(station)
            times[station] += 1
            here = station
        return WayCost(early, len(lacking), again)

    # Asked some hundred thousand times by the search, so kept by group.
    @cached_property
    def _lacking(self) -> dict[int, set[int]]:
        been = self.been
        return {
            g: {s for s in self.stations if not been[g, s] and (g, s) not in self.kept_from}
            for g in range(1, self.groups + 1)
        }

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
    enters = dict(cheapest(prices, 1, dict.fromkeys(rest.stations, (rest.fewest_at, rest.most_at))).keys())
    return [onward[enters[group]] for group in range(1, rest.groups + 1)]


def visits_of(rest: RestOfCircuit) -> Counter[Visit]:
    """How often each group is at each open station in the rest: fewest missed, then fewest again, evenly."""
    share = dict.fromkeys(rest.stations, (rest.slots * rest.fewest_at, rest.slots * rest.most_at))
    prices = {
        (group, station): [
            NEW + times if (group, station) in rest.kept_from else times or -NEW
            for times in range(been, been + rest.slots)
        ]
        for group in range(1, rest.groups + 1)
        for station in rest.stations
        for been in [rest.been[group, station]]
    }
    return cheapest(prices, rest.slots, share)


def missed_by(rest: RestOfCircuit) -> int:
    """The fewest visits to open stations that are left out, over all groups."""
    visits = visits_of(rest)
    return sum(not visits[group, s] for group in range(1, rest.groups + 1) for s in rest.lacking(group))


def first_ways(rest: RestOfCircuit) -> list[Way]:
    """Everyone's station in each slot, group 1 first: dealt from the front or from the back, whichever is cheaper.

    From the front each slot takes as many new visits as it can; from the back as many to stations done already.
    """
    visits = visits_of(rest)
    return min(
        (_dealt(rest, visits, from_back) for from_back in (False, True)),
        key=lambda ways: sum(rest.cost(group, way).early for group, way in enumerate(ways, start=1)),
    )


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
    return sorted(cheapest(prices, 1, share))


def cheapest(prices: Mapping[Visit, list[int]], each: int, share: Share) -> Counter[Visit]:
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
    # The least that each station takes is no bound of the flow, but a gain that no price outweighs.
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


EXCHANGES = 12000
TEMPERATURE = 1.3
"""How readily something worse is taken for a while; a meeting more weighs 4 and is taken once in twenty times."""

Step = tuple[int, int, int]
"""A slot, a group and the station it goes to, slot and group from 0."""

Move = Callable[["_State", Random], list[Step]]
"""A kind of exchange: its steps, none where it cannot be made."""

Cost = tuple[int, int, int, int]
"""Visits again while a station is lacking, stations missed, groups that meet again, stations that come again."""


def improved(rest: RestOfCircuit, ways: list[Way]) -> list[Way]:
    """The ways after a fixed number of exchanges, the cheapest that were met; the first decides, then the second."""
    state, rng = _State(rest, ways), Random(0)
    best, kept = state.cost, state.copy()
    moves = _moves(state)
    walked = _weight(best)
    for _ in range(EXCHANGES if moves and rest.groups > 1 else 0):
        if not any(best):
            break
        steps = rng.choice(moves)(state, rng)
        if not steps:
            continue
        back = state.take(steps)
        weight = _weight(state.cost)
        if weight > walked and rng.random() >= exp((walked - weight) / TEMPERATURE):
            state.take(back)
            continue
        walked = weight
        if state.cost < best:
            best, kept = state.cost, state.copy()
    return kept


def _weight(cost: Cost) -> int:
    """What the walk goes by; mere steps of 1 in the first two would be walls between good ways."""
    early, missed, meetings, again = cost
    return 30 * early + 30 * missed + 4 * meetings + again


class _State:
    """Where everyone is in each slot, with all that it costs, kept up to date."""

    def __init__(self, rest: RestOfCircuit, ways: list[Way]) -> None:
        self.rest = rest
        self.ways = [list(way) for way in ways]
        self.there: list[dict[int, set[int]]] = [{s: set() for s in rest.stations} for _ in range(rest.slots)]
        self.met = [[0] * rest.groups for _ in range(rest.groups)]
        self.meetings = 0
        self.costs = [rest.cost(group + 1, way) for group, way in enumerate(self.ways)]
        self.sums = [sum(part) for part in zip(*self.costs, strict=True)]
        for one in rest.done:
            for group, other in combinations(one.teams, 2):
                self._meet(group - 1, other - 1)
        for group, way in enumerate(self.ways):
            for slot, station in enumerate(way):
                self._enter(slot, group, station)

    @property
    def cost(self) -> Cost:
        early, missed, again = self.sums
        return early, missed, self.meetings, again

    def copy(self) -> list[Way]:
        return [list(way) for way in self.ways]

    def take(self, steps: list[Step]) -> list[Step]:
        """Take the steps, one a slot and group; those that lead back."""
        back = [(slot, group, self.ways[group][slot]) for slot, group, _ in steps]
        for slot, group, station in steps:
            self._leave(slot, group)
            self.ways[group][slot] = station
            self._enter(slot, group, station)
        early, missed, again = self.sums
        for group in {group for _, group, _ in steps}:
            before, now = self.costs[group], self.rest.cost(group + 1, self.ways[group])
            early, missed, again = early - before[0] + now[0], missed - before[1] + now[1], again - before[2] + now[2]
            self.costs[group] = now
        self.sums = [early, missed, again]
        return back

    def _enter(self, slot: int, group: int, station: int) -> None:
        for other in self.there[slot][station]:
            self._meet(group, other)
        self.there[slot][station].add(group)

    def _leave(self, slot: int, group: int) -> None:
        here = self.there[slot][self.ways[group][slot]]
        here.discard(group)
        for other in here:
            self.met[group][other] -= 1
            self.met[other][group] -= 1
            self.meetings -= self.met[group][other] > 0

    def _meet(self, one: int, two: int) -> None:
        self.meetings += self.met[one][two] > 0
        self.met[one][two] += 1
        self.met[two][one] += 1

    def size(self, slot: int, station: int) -> int:
        return len(self.there[slot][station])


def _moves(state: _State) -> list[Move]:
    """The kinds of exchange that can help; where every visit is needed only the one that keeps who visits what."""
    rest = state.rest
    needed = sum(len(rest.lacking(group)) for group in range(1, rest.groups + 1))
    moves: list[Move] = [_trail] if rest.slots > 1 else []
    if state.cost[1] or needed < rest.groups * rest.slots:
        moves += [_swap] if rest.most_at == rest.fewest_at else [_swap, _shift]
    return moves if len(rest.stations) > 1 else []


def _trail(state: _State, rng: Random) -> list[Step]:
    """Some groups exchange two slots, one after the other in the place of the one before, until stations are even.

    Between two slots each group is an arrow from station to station. Turning the arrows of a trail round changes how
    many are at its ends alone; turning a ring changes nothing.
    """
    one, two = rng.sample(range(state.rest.slots), 2)
    start = here = state.ways[rng.randrange(state.rest.groups)][one]
    trail: list[int] = []
    while not trail or not (here == start or _may_shift(state, one, two, start, here)):
        onward = sorted(state.there[one][here].difference(trail))
        if not onward:
            return []
        trail.append(rng.choice(onward))
        here = state.ways[trail[-1]][two]
    return [(a, group, state.ways[group][b]) for group in trail for a, b in ((one, two), (two, one))]


def _may_shift(state: _State, one: int, two: int, start: int, end: int) -> bool:
    """Whether a group less at the start and one more at the end in a slot, and the reverse in another, stay even."""
    fewest = state.rest.fewest_at
    gives = state.size(one, start) > fewest and state.size(two, end) > fewest
    return gives and state.size(one, end) == fewest and state.size(two, start) == fewest


def _swap(state: _State, rng: Random) -> list[Step]:
    """Two groups change places in a slot."""
    slot = rng.randrange(state.rest.slots)
    one, two = rng.sample(range(state.rest.groups), 2)
    here, there = state.ways[one][slot], state.ways[two][slot]
    return [(slot, one, there), (slot, two, here)] if here != there else []


def _shift(state: _State, rng: Random) -> list[Step]:
    """A group goes from a station with one more to one with one less."""
    slot, group = rng.randrange(state.rest.slots), rng.randrange(state.rest.groups)
    fewest = state.rest.fewest_at
    emptier = [s for s in state.rest.stations if state.size(slot, s) == fewest]
    full = state.size(slot, state.ways[group][slot]) > fewest
    return [(slot, group, rng.choice(emptier))] if full else []
