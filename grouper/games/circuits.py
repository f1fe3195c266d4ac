"""Circuits: groups that go round stations, planned by one list of constructions, each of which says whether it fits.

A construction gives a square: for each group (a row) its station in each slot, from 0. To add one, write a function and
put it in CIRCUITS.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from grouper.errors import OurBugError, require
from grouper.games.circuit_rest import RestOfCircuit, Way, cheapest, first_ways, improved, missed_by, turning_ways
from grouper.games.rounds import improved_order
from grouper.games.squares import Square, balanced_square, howell_design, is_known, orthogonal_squares, rotation
from grouper.model.play import ORDERS, STATIONS, Assignment, Event, Setback

MOST_GROUPS = 64

REPLANNED, AROUND = "re-planned circuit", "circuit around stations"
"""The methods of a circuit whose rest was planned anew, and of one in which groups are kept from stations; there a
group may be at a station again rather than wait."""

KeptFrom = frozenset[tuple[int, int]]
"""Groups and the stations that they are not to be at, both by number."""


@dataclass(frozen=True)
class Circuit:
    """A construction of a circuit: whether it can be used for an event, and a row for each group at least."""

    name: str
    fits: Callable[[Event], bool]
    ways: Callable[[Event], Square]


def _many_by_many(event: Event) -> Square:
    """A square for every group that shares a station; where they are orthogonal no two groups meet twice."""
    size = len(event.places)
    squares = orthogonal_squares(size, -(-len(event.teams) // size))
    rows = [row for square in squares for row in square]
    while len(rows) < len(event.teams):
        # The last square with its rows one place on: other groups meet first, then those before them.
        rows += [*rows[1 - size :], rows[-size]]
    return rows


CIRCUITS: tuple[Circuit, ...] = (
    Circuit(
        "rotation",
        lambda event: event.asked.order == "rotation",
        lambda event: rotation(len(event.teams), len(event.places)),
    ),
    Circuit(
        "balanced Latin square",
        lambda event: len(event.teams) <= len(event.places),
        lambda event: balanced_square(len(event.places)),
    ),
    Circuit(
        "Howell design",
        lambda event: len(event.teams) <= 2 * len(event.places) and is_known(len(event.places)),
        lambda event: howell_design(len(event.places)),
    ),
    Circuit("orthogonal squares", lambda event: True, _many_by_many),
)


def plan_circuit(event: Event, kept_from: KeptFrom = frozenset()) -> Event:
    """Everyone once at every station, as far as the slots go; the same event always gets the same circuit.

    A group that is kept from a station is not there as far as that can be, and is at another one again in its place.

    Raises
    ------
    InputError
        There is nobody, nowhere or no time.

    Examples
    --------
    >>> from grouper.model.play import Asked
    >>> event = Event("stations", tuple("12345678"), ("", "", "", ""), asked=Asked(order="balanced"))
    >>> plan_circuit(event).in_slot(1)[0].teams
    (1, 5)
    """
    _check(event)
    circuit = next(circuit for circuit in CIRCUITS if circuit.fits(event))
    rows = circuit.ways(event)[: len(event.teams)]
    turning = event.asked.order == "rotation"
    if kept_from:
        # All rows are alike, so each group gets one that brings it where it is not to be as rarely as can be.
        length, numbered = event.asked.slots or len(event.places), list(enumerate(rows, start=1))
        comes = {
            (g, n): [sum((g, s + 1) in kept_from for s in row[:length])] for g in event.numbers for n, row in numbered
        }
        dealt = dict(cheapest(comes, 1, {number: (1, 1) for number, _ in numbered}))
        rows = [rows[row - 1] for _, row in sorted(dealt)]
    if len(rows) > len(event.places) and not turning:
        # Slots in the order in which no exchange of two makes stations follow each other more evenly.
        dealt_out, start = rows, list(range(len(rows[0])))
        _, order, _ = improved_order(start, lambda order: _unevenness([[row[s] for s in order] for row in dealt_out]))
        rows = [[row[slot] for slot in order] for row in rows]
    stations, slots = len(event.places), event.asked.slots
    ways = [[station + 1 for station in row[: min(stations, slots or stations)]] for row in rows]
    planned = _with(replace(event, method=circuit.name, played=0, setback=Setback()), (), ways)
    if _unwanted(planned, kept_from) and not turning:
        around = replan_circuit(planned, 0, Setback(), kept_from)
        return min(planned, replace(around, method=AROUND), key=lambda event: _unwanted(event, kept_from))
    if turning or not _repeats(planned):
        return planned
    searched = replace(replan_circuit(planned, 0, Setback()), method="searched circuit")
    return min(planned, searched, key=_repeats)


def _unwanted(event: Event, kept_from: KeptFrom) -> int:
    """How often groups come to where they are not to be."""
    return sum((group, one.place) in kept_from for one in event.assignments for group in one.teams)


def _check(event: Event) -> None:
    groups, stations, asked = len(event.teams), len(event.places), event.asked
    require(groups >= 1, "{groups} groups cannot go round", "make at least 1 group", groups=groups)
    require(groups <= MOST_GROUPS, "{groups} groups are too many for one circuit", "run two circuits", groups=groups)
    few = "a circuit needs at least 2 stations"
    require(stations >= 2, few, "there would be {stations}", stations=stations)
    many, most = "{stations} stations are too many", MOST_GROUPS
    require(stations <= most, many, "set up at most {most_groups}", stations=stations, most_groups=most)
    slots = asked.slots
    require(slots is None or slots >= 1, "there is no work in {slots} slots", "give at least 1", slots=slots)
    require(asked.order in ORDERS[STATIONS], "there is no order '{order}'", "try 'balanced'", order=asked.order)


def _with(event: Event, done: Iterable[Assignment], ways: Iterable[Way]) -> Event:
    """The event with what was worked, and after it the ways of all groups."""
    there: dict[tuple[int, int], list[int]] = {}
    for group, way in enumerate(ways, start=1):
        for slot, station in enumerate(way, start=event.played + 1):
            there.setdefault((slot, station), []).append(group)
    later = [Assignment(*spot, tuple(groups)) for spot, groups in sorted(there.items())]
    return sound(replace(event, assignments=(*done, *later)))


def sound(event: Event) -> Event:
    """The circuit, when nobody is in two places at once, at a closed station or, as planned first, twice anywhere."""
    visits = [(one.slot, one.place, group) for one in event.assignments for group in one.teams]
    where = Counter((slot, group) for slot, _, group in visits)
    faults = [f"group {group} is needed {n} times in slot {slot}" for (slot, group), n in where.items() if n > 1]
    visited = Counter((group, station) for _, station, group in visits if event.method not in (REPLANNED, AROUND))
    faults += [f"group {group} is {n} times at station {place}" for (group, place), n in visited.items() if n > 1]
    faults += [
        f"station {station} is closed in slot {slot}"
        for slot, station, _ in visits
        if station in event.setback.closed and slot > event.played
    ]
    if faults:
        raise OurBugError("the circuit does not hold together: {fault}", fault=faults[0], faults=tuple(faults))
    return event


def _repeats(event: Event) -> int:
    met = Counter(duo for one in event.assignments for duo in combinations(one.teams, 2))
    return met.total() - len(met)


def _unevenness(rows: Square) -> int:
    return sum(times * times for times in Counter(step for row in rows for step in pairwise(row)).values())


def length_of(event: Event) -> int:
    """How many slots a circuit has: those asked for, or more where it was planned anew with more time."""
    stations, slots = len(event.places), event.asked.slots
    return max(stations if slots is None else min(slots, stations), event.slots)


def replan_circuit(event: Event, played: int, setback: Setback, kept_from: KeptFrom = frozenset()) -> Event:
    """The same circuit with the slots after those that are over planned anew for the stations that are open.

    In this order:

    1. in each slot every group works, spread evenly over the open stations: as many at each as there would be with so
       many stations from the start, one more or less; nobody waits;
    2. nobody is at a station again as long as there is an open one that they have not done;
    3. as few open stations as possible are left out;
    4. groups meet different groups;
    5. whoever has done every open station comes back to those done least, and does not stay where they are.

    The first always holds; the others are searched in a fixed number of steps. By 1 the stations left out (3) cannot be
    made up for by waiting or crowding. Where everyone moves on in one direction, they go on so through the open
    stations, and 2 to 5 only say who enters this round where.

    Parameters
    ----------
    event : Event
    played : int
        How many slots are over; what was worked in them is kept exactly.
    setback : Setback
        The stations that cannot be used from now on, and for how many slots there is time; None for those that were
        planned. More slots than planned are used only as far as there are stations to be done.
    kept_from : frozenset of (int, int)
        Groups and stations that they are not to be at: this goes before 2, and such a station is never left out.

    Raises
    ------
    InputError
        There is no such station or slot, or no station is left open.
    """
    closed, slots_left, stations = setback.closed, setback.slots_left, len(event.places)
    anew = replace(event, played=played, setback=Setback(tuple(sorted(set(closed)))), method=REPLANNED)
    slots, what = length_of(event), "{played} slots cannot be over"
    require(0 <= played <= slots, what, "the circuit has {slots}", played=played, slots=slots)
    require(slots_left is None or slots_left >= 0, "the slots left cannot be below 0; give 0 or more")
    require(all(1 <= s <= stations for s in closed), "the stations are numbered 1 to {stations}", stations=stations)
    require(bool(anew.open_places), "every station is closed; leave one open, or end the circuit here")
    done, planned = event.up_to(played), max(0, event.slots - played)
    turning = event.asked.order == "rotation"
    rest = _in_time(RestOfCircuit(len(event.teams), anew.open_places, planned, done, kept_from), slots_left, turning)
    circuit = _with(anew, done, _ways(rest, turning))
    # Nobody waits in the rest, and no station is too full or too empty.
    if faults := tuple(unevenness(circuit)):
        raise OurBugError("the rest of the circuit is not even: {fault}", fault=faults[0], faults=faults)
    return circuit


def _ways(rest: RestOfCircuit, turning: bool) -> list[Way]:
    if not rest.slots:
        return []
    return turning_ways(rest) if turning else improved(rest, first_ways(rest))


def _in_time(rest: RestOfCircuit, limit: int | None, turning: bool) -> RestOfCircuit:
    """The rest in the slots that it had, or as many more as it takes where there is time; fewer where there is not."""
    if limit is None or limit <= rest.slots:
        return rest if limit is None else replace(rest, slots=limit)
    rest = replace(rest, slots=min(limit, max(rest.slots, rest.slots_needed)))
    while rest.slots < limit:
        ways = enumerate(_ways(rest, turning), start=1) if turning else ()
        if not (any(rest.cost(group, way).missed for group, way in ways) if turning else missed_by(rest)):
            break
        rest = replace(rest, slots=rest.slots + 1)
    return rest



def unevenness(event: Event) -> Iterable[str]:
    """Sentences on who waits after the slots that are over, and where there are more or fewer groups than need be."""
    small, larger = divmod(len(event.teams), len(event.open_places))
    crowd = {one.spot: len(one.teams) for one in event.assignments}
    for slot in range(event.played + 1, event.slots + 1):
        numbers = [crowd.get((slot, station), 0) for station in event.open_places]
        if sum(numbers) != len(event.teams):
            yield f"{len(event.teams) - sum(numbers)} groups wait in slot {slot}"
        if not set(numbers) <= {small, small + bool(larger)}:
            yield f"in slot {slot} {max(numbers)} groups are at one station and {min(numbers)} at another"
