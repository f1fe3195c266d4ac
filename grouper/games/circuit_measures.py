"""Measures of a circuit, each beside its bound."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

from grouper.games.circuit import CircuitSchedule
from grouper.games.measure import Measure, spread


def measure_circuit(schedule: CircuitSchedule) -> tuple[Measure, ...]:
    """Visits, repeats, order and use of a circuit, each beside a bound that nobody can beat.

    Keys: ``visits``, ``repeats`` (meetings of two groups after their first), ``order_difference`` (between the
    most and the
    least frequent step from one station to another), ``most_at_station``.
    """
    return (_visits(schedule), _repeats(schedule), _order(schedule), _crowd(schedule))


def _visits(schedule: CircuitSchedule) -> Measure:
    task = schedule.task
    done = [visit for visit in schedule.visits if visit.slot <= schedule.played]
    rest = task.length - schedule.played
    open_stations = set(range(1, task.stations + 1)) - set(schedule.closed)
    most = len(done)
    for group in range(1, task.groups + 1):
        seen = {visit.station for visit in done if visit.group == group}
        most += min(max(rest, schedule.slots - schedule.played), len(open_stations - seen))
    return Measure("visits", "visits of groups at stations", len(schedule.visits), most, "high")


def _repeats(schedule: CircuitSchedule) -> Measure:
    stays = Counter((visit.slot, visit.station) for visit in schedule.visits)
    met = Counter(duo for slot, station in sorted(stays) for duo in combinations(schedule.groups_at(slot, station), 2))
    reached = sum(times - 1 for times in met.values())
    return Measure("repeats", "meetings of two groups after their first", reached, _fewest_repeats(schedule, met))


def _fewest_repeats(schedule: CircuitSchedule, met: Counter[tuple[int, int]]) -> int:
    """Meetings beyond one a pair; and without a closure, those that moving on forces.

    The groups at a station were at one of the s - 1 others in an earlier slot, so where they are more than s - 1, some
    were together there. Any two slots share so many pairs; a pair that meets m times in L slots is counted
    C(m, 2) times
    for m - 1 repeats, at most L/2 times each.
    """
    task = schedule.task
    beyond = max(0, met.total() - task.groups * (task.groups - 1) // 2)
    if schedule.closed:
        return beyond
    small, larger = divmod(task.groups, task.stations)
    crowds = [small + (station < larger) for station in range(task.stations)]
    return max(beyond, (task.length - 1) * sum(_together_before(crowd, task.stations - 1) for crowd in crowds))


def _together_before(crowd: int, places: int) -> int:
    """The fewest pairs of a crowd that come from the same of so many places."""
    each, more = divmod(crowd, places)
    return more * (each + 1) * each // 2 + (places - more) * each * (each - 1) // 2


def _order(schedule: CircuitSchedule) -> Measure:
    stations = range(1, schedule.task.stations + 1)
    steps = Counter(step for group in range(1, schedule.task.groups + 1) for step in pairwise(schedule.way_of(group)))
    counts = [steps[one, two] for one in stations for two in stations if one != two]
    even = steps.total() % max(1, len(counts)) == 0
    return Measure(
        "order_difference", "difference between how often stations follow each other", spread(counts), int(not even)
    )


def _crowd(schedule: CircuitSchedule) -> Measure:
    crowd = Counter((visit.slot, visit.station) for visit in schedule.visits)
    fullest = Counter(visit.slot for visit in schedule.visits)
    least = max((-(-number // schedule.task.stations) for number in fullest.values()), default=0)
    return Measure("most_at_station", "most groups at a station", max(crowd.values(), default=0), least)
