"""A station closes in the middle of a circuit: the rest is planned anew, what was worked stays as it was."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import combinations
from random import Random

from grouper.games.asked import require
from grouper.games.circuit import CircuitSchedule, Visit
from grouper.games.colours import Colours

EXCHANGES = 3000
BOLDNESS = 0.05


def reroute_circuit(
    schedule: CircuitSchedule, played: int, closed: tuple[int, ...], slots_left: int | None = None
) -> CircuitSchedule:
    """The same circuit with the slots after those that are over planned anew for the stations that are open.

    As many of the visits that groups still lack as fit; at a station at most as many groups as open stations demand;
    within that, few groups meet again.

    Parameters
    ----------
    schedule : CircuitSchedule
    played : int
        How many slots are over; their visits are kept exactly.
    closed : tuple of int
        The stations that cannot be used from now on.
    slots_left : int or None
        How many slots are left; ``None`` for those that were planned.

    Raises
    ------
    InputError
        When there is no such station or slot, or no station is left open.
    """
    task = schedule.task
    left = max(0, task.length - played) if slots_left is None else slots_left
    open_stations = [s for s in range(1, task.stations + 1) if s not in closed]
    require(0 <= played <= task.length, f"{played} slots cannot be over; the circuit has {task.length}")
    require(left >= 0, "fewer than no slots are left; give 0 or more")
    require(all(1 <= s <= task.stations for s in closed), f"the stations are numbered 1 to {task.stations}")
    require(bool(open_stations), "every station is closed; leave one open, or end the circuit here")
    done = [visit for visit in schedule.visits if visit.slot <= played]
    later = _later_visits(done, _Lacking(schedule, done, open_stations), played, left)
    return CircuitSchedule(task, tuple(sorted([*done, *later])), "re-planned circuit", played, tuple(sorted(closed)))


class _Lacking:
    """The visits that groups still lack, as pairs of a group and one of the places of a station."""

    def __init__(self, schedule: CircuitSchedule, done: Iterable[Visit], open_stations: list[int]) -> None:
        groups = schedule.task.groups
        seen = {(visit.group, visit.station) for visit in done}
        self.places = -(-groups // len(open_stations))
        self.groups = groups
        self.wanted = {s: [g for g in range(1, groups + 1) if (g, s) not in seen] for s in open_stations}

    def pairs(self) -> list[tuple[int, int]]:
        """The places of a station share its groups out evenly; numbers of places are above those of groups."""
        return [
            (group, self.groups + station * self.places + number % self.places)
            for station, groups in self.wanted.items()
            for number, group in enumerate(groups)
        ]

    def station_of(self, place: int) -> int:
        return (place - self.groups) // self.places


def _later_visits(done: list[Visit], lacking: _Lacking, played: int, slots: int) -> list[Visit]:
    colours = Colours(slots)
    for number, pair in enumerate(lacking.pairs()):
        if not colours.add(number, pair):
            del colours.games[number]
    met = Counter(duo for visits in _together(done) for duo in combinations(sorted(visits), 2))
    _mix(colours, lacking, met)
    return _visits(colours, lacking, played)


def _visits(colours: Colours, lacking: _Lacking, played: int) -> list[Visit]:
    return [
        Visit(played + slot + 1, lacking.station_of(place), group)
        for slot, pairs in enumerate(colours.slots())
        for group, place in pairs
    ]


def _together(visits: Iterable[Visit]) -> list[list[int]]:
    """The groups of each station in each slot."""
    there: dict[tuple[int, int], list[int]] = {}
    for visit in visits:
        there.setdefault((visit.slot, visit.station), []).append(visit.group)
    return list(there.values())


def _mix(colours: Colours, lacking: _Lacking, met: Counter[tuple[int, int]]) -> None:
    """Exchange two slots along a path or ring a fixed number of times, seldom for more repeats; the best is kept."""
    rng = Random(0)
    cost = _repeats(colours, lacking, met)
    best = (cost, [dict(row) for row in colours.at])
    for _ in range(EXCHANGES if len(colours.at) > 1 else 0):
        if not best[0]:
            break
        a, b = rng.sample(range(len(colours.at)), 2)
        turned = colours.turn(rng.randint(1, lacking.groups), a, b)
        changed = _repeats(colours, lacking, met)
        if changed > cost and rng.random() >= BOLDNESS ** (changed - cost):
            colours.turn_all(turned, a, b)
            continue
        cost = changed
        if cost < best[0]:
            best = (cost, [dict(row) for row in colours.at])
    colours.at = best[1]


def _repeats(colours: Colours, lacking: _Lacking, met: Counter[tuple[int, int]]) -> int:
    """How many meetings of two groups are not their first."""
    day = Counter(met)
    for groups in _together(_visits(colours, lacking, 0)):
        day.update(combinations(sorted(groups), 2))
    return sum(times - 1 for times in day.values() if times > 1)
