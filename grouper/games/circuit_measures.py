"""Measures of a circuit, each beside its bound."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

from grouper.games.circuit import REPLANNED, CircuitSchedule
from grouper.games.circuit_rest import RestOfCircuit
from grouper.games.measure import Measure, spread


def measure_circuit(schedule: CircuitSchedule) -> tuple[Measure, ...]:
    """Visits, repeats, order and use of a circuit, each beside a bound that nobody can beat.

    Keys: ``visits``, ``repeats`` (meetings of two groups after their first), ``order_difference`` (between the
    most and the least frequent step from one open station to another), ``most_at_station``; where the rest was planned
    anew also ``waiting``, ``again`` and ``early`` (again while an open one is lacking). What is over counts in the
    bounds as it was, and no bound has more groups at a station than an even share.
    """
    measures = (_visits(schedule), _repeats(schedule), _order(schedule), _crowd(schedule))
    return (*measures, _waiting(schedule), _again(schedule), _early(schedule)) if _replanned(schedule) else measures


def _replanned(schedule: CircuitSchedule) -> bool:
    return schedule.method == REPLANNED


def _visits(schedule: CircuitSchedule) -> Measure:
    reached = len({(visit.group, visit.station) for visit in schedule.visits})
    return Measure("visits", "visits of groups to stations new to them", reached, _most_new(schedule), "high")


def _most_new(schedule: CircuitSchedule) -> int:
    """What was new in the slots that are over, and what groups can do, and stations take, in those left."""
    rest = _rest_of(schedule)
    lacking = [rest.lacking(group) for group in range(1, rest.groups + 1)]
    wanted = Counter(station for stations in lacking for station in stations)
    by_group = sum(min(rest.slots, len(stations)) for stations in lacking)
    by_station = sum(min(rest.slots * rest.most_at, number) for number in wanted.values())
    return len(rest.been) + min(by_group, by_station)


def _rest_of(schedule: CircuitSchedule) -> RestOfCircuit:
    done = tuple(visit for visit in schedule.visits if visit.slot <= schedule.played)
    left = max(0, schedule.slots - schedule.played)
    return RestOfCircuit(schedule.task.groups, schedule.open_stations, left, done)


def _waiting(schedule: CircuitSchedule) -> Measure:
    over = sum(visit.slot <= schedule.played for visit in schedule.visits)
    waited = schedule.task.groups * min(schedule.played, schedule.slots) - over
    reached = schedule.task.groups * schedule.slots - len(schedule.visits)
    return Measure("waiting", "groups that wait, added up over the slots", reached, waited)


def _again(schedule: CircuitSchedule) -> Measure:
    """As nobody waits, a group with nothing new is at a station again."""
    reached = len(schedule.visits) - len({(visit.group, visit.station) for visit in schedule.visits})
    bound = max(0, len(schedule.visits) - _most_new(schedule))
    return Measure("again", "visits to a station once more, so that nobody waits", reached, bound)


def _early(schedule: CircuitSchedule) -> Measure:
    rest = _rest_of(schedule)
    later = [visit for visit in schedule.visits if visit.slot > schedule.played]
    ways = {group: [v.station for v in later if v.group == group] for group in range(1, rest.groups + 1)}
    reached = sum(rest.cost(group, way).early for group, way in ways.items())
    return Measure("early", "of these while an open station is still to be done", reached, 0)


def _repeats(schedule: CircuitSchedule) -> Measure:
    stays = Counter((visit.slot, visit.station) for visit in schedule.visits)
    met = Counter(duo for slot, station in sorted(stays) for duo in combinations(schedule.groups_at(slot, station), 2))
    reached = sum(times - 1 for times in met.values())
    return Measure("repeats", "meetings of two groups after their first", reached, _fewest_repeats(schedule, met))


def _fewest_repeats(schedule: CircuitSchedule, met: Counter[tuple[int, int]]) -> int:
    """Meetings beyond one a pair; and where nothing was planned anew, those that moving on forces.

    The groups at a station were at one of the s - 1 others in an earlier slot, so where they are more than s - 1, some
    were together there. Any two slots share so many pairs; a pair that meets m times in L slots is counted
    C(m, 2) times
    for m - 1 repeats, at most L/2 times each.
    """
    task = schedule.task
    beyond = max(0, met.total() - task.groups * (task.groups - 1) // 2)
    if _replanned(schedule):
        return beyond
    small, larger = divmod(task.groups, task.stations)
    crowds = [small + (station < larger) for station in range(task.stations)]
    return max(beyond, (task.length - 1) * sum(_together_before(crowd, task.stations - 1) for crowd in crowds))


def _together_before(crowd: int, places: int) -> int:
    """The fewest pairs of a crowd that come from the same of so many places."""
    each, more = divmod(crowd, places)
    return more * (each + 1) * each // 2 + (places - more) * each * (each - 1) // 2


def _order(schedule: CircuitSchedule) -> Measure:
    stations = schedule.open_stations
    steps = Counter(step for group in range(1, schedule.task.groups + 1) for step in pairwise(schedule.way_of(group)))
    counts = [steps[one, two] for one in stations for two in stations if one != two]
    # In a rest planned anew it is open how many steps there are: a group may have to stay where it is.
    even = _replanned(schedule) or sum(counts) % max(1, len(counts)) == 0
    return Measure(
        "order_difference", "difference between how often stations follow each other", spread(counts), int(not even)
    )


def _crowd(schedule: CircuitSchedule) -> Measure:
    crowd = Counter((visit.slot, visit.station) for visit in schedule.visits)
    fullest = Counter(visit.slot for visit in schedule.visits)
    least = max((-(-number // _stations_in(schedule, slot)) for slot, number in fullest.items()), default=0)
    return Measure("most_at_station", "most groups at a station", max(crowd.values(), default=0), least)


def _stations_in(schedule: CircuitSchedule, slot: int) -> int:
    return schedule.task.stations if slot <= schedule.played else len(schedule.open_stations)
