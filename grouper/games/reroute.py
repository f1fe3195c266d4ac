"""A station closes in the middle of a circuit: the rest is planned anew, what was worked stays as it was."""

from __future__ import annotations

from dataclasses import replace

from grouper.errors import OurBugError
from grouper.games.asked import require
from grouper.games.circuit import REPLANNED, CircuitSchedule, Visit, unevenness
from grouper.games.circuit_flow import first_ways, missed_by
from grouper.games.circuit_rest import RestOfCircuit
from grouper.games.circuit_search import improved


def reroute_circuit(
    schedule: CircuitSchedule, played: int, closed: tuple[int, ...], slots_left: int | None = None
) -> CircuitSchedule:
    """The same circuit with the slots after those that are over planned anew for the stations that are open.

    In this order:

    1. in each slot every group works, spread evenly over the open stations: as many at each as there would be with so
       many stations from the start, one more or less; nobody waits;
    2. nobody is at a station again as long as there is an open one that they have not done;
    3. as few open stations as possible are left out;
    4. groups meet different groups;
    5. whoever has done every open station comes back to those done least, and does not stay where they are.

    The first always holds; the others are searched in a fixed number of steps. By 1 the stations left out (3) cannot be
    made up for by waiting or crowding.

    Parameters
    ----------
    schedule : CircuitSchedule
    played : int
        How many slots are over; their visits are kept exactly.
    closed : tuple of int
        The stations that cannot be used from now on.
    slots_left : int or None
        For how many slots there is time; ``None`` for those that were planned. More slots than planned are used only
        as far as there are stations to be done.

    Raises
    ------
    InputError
        When there is no such station or slot, or no station is left open.
    """
    stations, groups, length = schedule.task.stations, schedule.task.groups, schedule.length
    open_stations = tuple(s for s in range(1, stations + 1) if s not in closed)
    require(0 <= played <= length, f"{played} slots cannot be over; the circuit has {length}")
    require(slots_left is None or slots_left >= 0, "fewer than no slots are left; give 0 or more")
    require(all(1 <= s <= stations for s in closed), f"the stations are numbered 1 to {stations}")
    require(bool(open_stations), "every station is closed; leave one open, or end the circuit here")
    done = tuple(visit for visit in schedule.visits if visit.slot <= played)
    planned = max(0, schedule.slots - played)
    rest = _in_time(RestOfCircuit(groups, open_stations, planned, done), slots_left)
    visits = tuple(sorted([*done, *_later(rest, played)]))
    return _checked(CircuitSchedule(schedule.task, visits, REPLANNED, played, tuple(sorted(set(closed)))))


def _in_time(rest: RestOfCircuit, limit: int | None) -> RestOfCircuit:
    """The rest in the slots that it had, or as many more as it takes where there is time; fewer where there is not."""
    if limit is None or limit <= rest.slots:
        return rest if limit is None else replace(rest, slots=limit)
    rest = replace(rest, slots=min(limit, max(rest.slots, rest.slots_needed)))
    while rest.slots < limit and missed_by(rest):
        rest = replace(rest, slots=rest.slots + 1)
    return rest


def _later(rest: RestOfCircuit, played: int) -> list[Visit]:
    if not rest.slots:
        return []
    ways = improved(rest, first_ways(rest))
    return [
        Visit(played + slot, station, group)
        for group, way in enumerate(ways, start=1)
        for slot, station in enumerate(way, start=1)
    ]


def _checked(schedule: CircuitSchedule) -> CircuitSchedule:
    """The schedule, when nobody waits in its rest and no station is too full or too empty."""
    faults = tuple(unevenness(schedule))
    if faults:
        raise OurBugError("the rest of the circuit is not even: " + faults[0], faults=faults)
    return schedule
