"""Exchanges in the rest of a circuit that keep everyone at work and stations evenly full; the best found is kept."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from math import exp
from random import Random

from grouper.games.circuit_rest import RestOfCircuit, Way

EXCHANGES = 12000
WARMTH = 1.3
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
        back = state.take(rng.choice(moves)(state, rng))
        weight = _weight(state.cost)
        if weight > walked and rng.random() >= exp((walked - weight) / WARMTH):
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
        for group in sorted({group for _, group, _ in steps}):
            self._price(group)
        return back

    def _price(self, group: int) -> None:
        before, now = self.costs[group], self.rest.cost(group + 1, self.ways[group])
        self.sums = [total - old + new for total, old, new in zip(self.sums, before, now, strict=True)]
        self.costs[group] = now

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
