"""Measures of a circuit, each beside its bound."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

from grouper.games.circuit_rest import RestOfCircuit
from grouper.games.circuits import REPLANNED, length_of
from grouper.games.measure import Measure, spread
from grouper.model.play import Event


def measure_circuit(event: Event) -> tuple[Measure, ...]:
    """Visits, repeats, order and use of a circuit, each beside a bound that nobody can beat.

    Keys: ``visits``, ``repeats`` (meetings of two groups after their first), ``order_difference`` (between the
    most and the least frequent step from one open station to another), ``most_at_station``; where the rest was planned
    anew also ``waiting``, ``again`` and ``early`` (again while an open one is lacking). What is over counts in the
    bounds as it was, and no bound has more groups at a station than an even share.
    """
    circuit = _Circuit(event)
    measures = (circuit.visits(), circuit.repeats(), circuit.order(), circuit.crowd())
    return (*measures, *circuit.rest_measures()) if circuit.replanned else measures


class _Circuit:
    """A circuit with what the measures count."""

    def __init__(self, event: Event) -> None:
        self.event, self.groups = event, len(event.teams)
        self.replanned = event.method == REPLANNED
        self.met = Counter(duo for one in event.assignments for duo in combinations(one.teams, 2))
        self.ways = {group: event.way_of(group) for group in event.numbers}
        self.worked = sum(map(len, self.ways.values()))
        self.new = sum(len(set(way)) for way in self.ways.values())
        left = max(0, event.slots - event.played)
        self.rest = RestOfCircuit(self.groups, event.open_places, left, event.up_to(event.played))

    def visits(self) -> Measure:
        return Measure("visits", "visits of groups to stations new to them", self.new, self._most_new(), "high")

    def _most_new(self) -> int:
        """What was new in the slots that are over, and what groups can do, and stations take, in those left."""
        rest = self.rest
        lacking = [rest.lacking(group) for group in self.event.numbers]
        wanted = Counter(station for stations in lacking for station in stations)
        by_group = sum(min(rest.slots, len(stations)) for stations in lacking)
        by_station = sum(min(rest.slots * rest.most_at, number) for number in wanted.values())
        return len(rest.been) + min(by_group, by_station)

    def repeats(self) -> Measure:
        """Meetings beyond one a pair; and where nothing was planned anew, those that moving on forces.

        The groups at a station were at one of the s - 1 others in an earlier slot, so where they are more than s - 1,
        some were together there. Any two slots share so many pairs; a pair that meets m times in L slots is counted
        C(m, 2) times for m - 1 repeats, at most L/2 times each.
        """
        least = max(0, self.met.total() - self.groups * (self.groups - 1) // 2)
        if not self.replanned:
            stations = len(self.event.places)
            small, larger = divmod(self.groups, stations)
            crowds = [small + (station < larger) for station in range(stations)]
            forced = sum(_together_before(crowd, stations - 1) for crowd in crowds)
            least = max(least, (length_of(self.event) - 1) * forced)
        reached = self.met.total() - len(self.met)
        return Measure("repeats", "meetings of two groups after their first", reached, least)

    def order(self) -> Measure:
        stations = self.event.open_places
        steps = Counter(step for way in self.ways.values() for step in pairwise(way))
        counts = [steps[one, two] for one in stations for two in stations if one != two]
        # In a rest planned anew it is open how many steps there are: a group may have to stay where it is.
        even = self.replanned or sum(counts) % max(1, len(counts)) == 0
        what = "difference between how often stations follow each other"
        return Measure("order_difference", what, spread(counts), int(not even))

    def crowd(self) -> Measure:
        event = self.event
        fullest = max((len(one.teams) for one in event.assignments), default=0)
        least = max((-(-self._in(slot) // self._stations_in(slot)) for slot in range(1, event.slots + 1)), default=0)
        return Measure("most_at_station", "most groups at a station", fullest, least)

    def _in(self, slot: int) -> int:
        return sum(len(one.teams) for one in self.event.in_slot(slot))

    def _stations_in(self, slot: int) -> int:
        return len(self.event.places if slot <= self.event.played else self.event.open_places)

    def rest_measures(self) -> tuple[Measure, ...]:
        """As nobody waits, a group with nothing new is at a station again."""
        event = self.event
        over = sum(len(one.teams) for one in event.up_to(event.played))
        waited = self.groups * min(event.played, event.slots) - over
        later = {group: [] for group in event.numbers}  # type: dict[int, list[int]]
        for one in event.assignments:
            for group in one.teams if one.slot > event.played else ():
                later[group].append(one.place)
        early = sum(self.rest.cost(group, way).early for group, way in later.items())
        waiting = self.groups * event.slots - self.worked
        again, forced = self.worked - self.new, max(0, self.worked - self._most_new())
        return (
            Measure("waiting", "groups that wait, added up over the slots", waiting, waited),
            Measure("again", "visits to a station once more, so that nobody waits", again, forced),
            Measure("early", "of these while an open station is still to be done", early, 0),
        )


def _together_before(crowd: int, places: int) -> int:
    """The fewest pairs of a crowd that come from the same of so many places."""
    each, more = divmod(crowd, places)
    return more * (each + 1) * each // 2 + (places - more) * each * (each - 1) // 2
