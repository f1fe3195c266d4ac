"""A circuit: groups that move through stations, slot by slot. Facts, checked on creation."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from grouper.errors import OurBugError
from grouper.games.asked import require

MOST_GROUPS = 64

REPLANNED = "re-planned circuit"
"""The method of a circuit whose rest was planned anew; there a group may be at a station again rather than wait."""


@dataclass(frozen=True)
class CircuitTask:
    """Groups that are to work at stations.

    Parameters
    ----------
    groups, stations : int
        How many; both are numbered from 1.
    slots : int or None
        Most slots; ``None`` for as many as there are stations, so that everyone is at every station once.
    order : {"balanced", "rotation"}
        Each station follows each other one equally often where that is possible; or everyone moves to the next station,
        which is easiest to run with one group at a station.

    Raises
    ------
    InputError
        When there is nobody, nowhere or no time.
    """

    groups: int
    stations: int
    slots: int | None = None
    order: Literal["balanced", "rotation"] = "balanced"

    def __post_init__(self) -> None:
        require(self.groups >= 1, f"{self.groups} groups cannot go round; make at least 1 group")
        require(self.groups <= MOST_GROUPS, f"{self.groups} groups are too many for one circuit; run two circuits")
        require(self.stations >= 2, f"{self.stations} station(s) make no circuit; set up at least 2")
        require(self.stations <= MOST_GROUPS, f"{self.stations} stations are too many; set up at most {MOST_GROUPS}")
        require(self.slots is None or self.slots >= 1, f"there is no work in {self.slots} slots; give at least 1")
        require(self.order in ("balanced", "rotation"), f"there is no order '{self.order}'; try 'balanced'")

    @property
    def length(self) -> int:
        """How many slots are worked: one a station, or fewer where they do not fit."""
        return self.stations if self.slots is None else min(self.slots, self.stations)

    @property
    def at_station(self) -> int:
        """The most groups at a station."""
        return -(-self.groups // self.stations)


@dataclass(frozen=True, order=True)
class Visit:
    """A group at a station in a slot, all counted from 1."""

    slot: int
    station: int
    group: int


@dataclass(frozen=True)
class CircuitSchedule:
    """Who works where and when; nobody in two places at once, nobody twice at a station.

    Where the rest was planned anew (``REPLANNED``) a group that has nothing new to do is at a station again.

    Parameters
    ----------
    task : CircuitTask
    visits : tuple of Visit
        In order of slot, station and group.
    method : str
        The construction it came from.
    played : int
        Slots that were over when it was last planned.
    closed : tuple of int
        Stations that are closed after those.
    """

    task: CircuitTask
    visits: tuple[Visit, ...]
    method: str
    played: int = 0
    closed: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        faults = tuple(circuit_faults(self))
        if faults:
            raise OurBugError("the circuit does not hold together: " + faults[0], faults=faults)

    @property
    def slots(self) -> int:
        """The last slot with work."""
        return max((visit.slot for visit in self.visits), default=0)

    @property
    def length(self) -> int:
        """How many slots it has: those asked for, or more where it was planned anew with more time."""
        return max(self.task.length, self.slots)

    @property
    def open_stations(self) -> tuple[int, ...]:
        """The stations that are not closed."""
        return tuple(station for station in range(1, self.task.stations + 1) if station not in self.closed)

    def groups_at(self, slot: int, station: int) -> tuple[int, ...]:
        """Who is at a station in a slot."""
        return tuple(v.group for v in self.visits if (v.slot, v.station) == (slot, station))

    def way_of(self, group: int) -> tuple[int, ...]:
        """The stations of a group in order."""
        return tuple(visit.station for visit in self.visits if visit.group == group)


def circuit_faults(schedule: CircuitSchedule) -> Iterable[str]:
    """Sentences on what does not hold together; none when all is well."""
    where = Counter((visit.slot, visit.group) for visit in schedule.visits)
    yield from (f"group {group} is needed {n} times in slot {slot}" for (slot, group), n in where.items() if n > 1)
    visited = Counter((visit.group, visit.station) for visit in schedule.visits if schedule.method != REPLANNED)
    yield from (f"group {group} is {n} times at station {place}" for (group, place), n in visited.items() if n > 1)
    for visit in schedule.visits:
        if not (1 <= visit.group <= schedule.task.groups and 1 <= visit.station <= schedule.task.stations):
            yield f"there is no group {visit.group} or no station {visit.station}"
        if visit.station in schedule.closed and visit.slot > schedule.played:
            yield f"station {visit.station} is closed in slot {visit.slot}"


def unevenness(schedule: CircuitSchedule) -> Iterable[str]:
    """Sentences on who waits after the slots that are over, and where there are more or fewer groups than need be."""
    small, larger = divmod(schedule.task.groups, len(schedule.open_stations))
    crowd = Counter((visit.slot, visit.station) for visit in schedule.visits)
    for slot in range(schedule.played + 1, schedule.slots + 1):
        numbers = [crowd[slot, station] for station in schedule.open_stations]
        if sum(numbers) != schedule.task.groups:
            yield f"{schedule.task.groups - sum(numbers)} groups wait in slot {slot}"
        if not set(numbers) <= {small, small + bool(larger)}:
            yield f"in slot {slot} {max(numbers)} groups are at one station and {min(numbers)} at another"
