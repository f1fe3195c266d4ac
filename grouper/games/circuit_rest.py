"""The rest of a circuit that is planned anew: who lacks what, how many fit at a station, and what a way costs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from grouper.games.circuit import Visit

Way = list[int]
"""The stations of a group in the slots of the rest, slot by slot."""


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
    done : tuple of Visit
        What has been worked.
    """

    groups: int
    stations: tuple[int, ...]
    slots: int
    done: tuple[Visit, ...] = ()

    @property
    def fewest_at(self) -> int:
        """The fewest groups at a station in a slot."""
        return self.groups // len(self.stations)

    @property
    def most_at(self) -> int:
        """The most groups at a station in a slot: as many as with so many stations from the start."""
        return -(-self.groups // len(self.stations))

    @cached_property
    def been(self) -> Counter[tuple[int, int]]:
        """How often each group has been at each station."""
        return Counter((visit.group, visit.station) for visit in self.done)

    @cached_property
    def last(self) -> dict[int, int]:
        """Where each group was last."""
        return {visit.group: visit.station for visit in sorted(self.done)}

    def lacking(self, group: int) -> set[int]:
        """The open stations that a group has not been at."""
        return {station for station in self.stations if not self.been[group, station]}

    @cached_property
    def slots_needed(self) -> int:
        """No fewer slots take every group to every open station."""
        wanted = Counter(station for stations in self._lacking.values() for station in stations)
        return max([*map(len, self._lacking.values()), *(-(-number // self.most_at) for number in wanted.values())])

    def cost(self, group: int, way: Way) -> WayCost:
        """Visits again while an open station is lacking, stations missed in the end, and how often one comes again.

        A third time at a station counts twice as much as a second, and staying there counts once more.
        """
        lacking, times, here = set(self._lacking[group]), self._times[group].copy(), self.last.get(group, 0)
        early = again = 0
        for station in way:
            early += bool(lacking) and station not in lacking
            again += times[station] + (station == here)
            lacking.discard(station)
            times[station] += 1
            here = station
        return WayCost(early, len(lacking), again)

    @cached_property
    def _lacking(self) -> dict[int, set[int]]:
        return {group: self.lacking(group) for group in range(1, self.groups + 1)}

    @cached_property
    def _times(self) -> dict[int, dict[int, int]]:
        """For each group how often it has been at each open station."""
        return {group: {s: self.been[group, s] for s in self.stations} for group in range(1, self.groups + 1)}
