"""The door to circuits: one list of constructions, each of which says whether it fits; and the plan made by the first.

A construction gives for each group (a row) its station in each slot, from 0. To add one, write a class with ``name``,
``fits`` and ``ways`` and put it in CIRCUITS.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise
from typing import Protocol

from grouper.games.circuit import CircuitSchedule, CircuitTask, Visit
from grouper.games.howell import howell_design, is_known
from grouper.games.reroute import reroute_circuit
from grouper.games.squares import Square, balanced_square, orthogonal_squares, rotation_square


class Circuit(Protocol):
    """A construction of a circuit."""

    name: str

    def fits(self, task: CircuitTask) -> bool:
        """Whether it can be used for the task."""
        ...

    def ways(self, task: CircuitTask) -> Square:
        """For each group at least one row: its station in each slot."""
        ...


class Rotation:
    """One group at a station, and everyone moves to the next."""

    name = "rotation"

    def fits(self, task: CircuitTask) -> bool:
        return task.order == "rotation" and task.groups <= task.stations

    def ways(self, task: CircuitTask) -> Square:
        return rotation_square(task.stations)


class OneByOne:
    """One group at a station, in a balanced order."""

    name = "balanced Latin square"

    def fits(self, task: CircuitTask) -> bool:
        return task.groups <= task.stations

    def ways(self, task: CircuitTask) -> Square:
        return balanced_square(task.stations)


class TwoByTwo:
    """Up to two groups at a station, never the same two again."""

    name = "Howell design"

    def fits(self, task: CircuitTask) -> bool:
        return task.groups <= 2 * task.stations and is_known(task.stations)

    def ways(self, task: CircuitTask) -> Square:
        return howell_design(task.stations)


class ManyByMany:
    """A square for every group that shares a station; where they are orthogonal no two groups meet twice."""

    name = "orthogonal squares"

    def fits(self, task: CircuitTask) -> bool:
        return True

    def ways(self, task: CircuitTask) -> Square:
        squares = orthogonal_squares(task.stations, task.at_station)
        rows = [row for square in squares for row in square]
        while len(rows) < task.groups:
            rows += _turned(rows[-task.stations :])
        return rows


CIRCUITS: tuple[Circuit, ...] = (Rotation(), OneByOne(), TwoByTwo(), ManyByMany())


def plan_circuit(task: CircuitTask) -> CircuitSchedule:
    """Everyone once at every station, as far as the slots go; the same task always gives the same circuit.

    Examples
    --------
    >>> plan_circuit(CircuitTask(groups=8, stations=4)).groups_at(1, 1)
    (1, 5)
    """
    circuit = next(circuit for circuit in CIRCUITS if circuit.fits(task))
    rows = circuit.ways(task)[: task.groups]
    if task.groups > task.stations and task.order == "balanced":
        rows = _in_even_order(rows)
    planned = _schedule(task, rows, circuit.name)
    searched = _searched(planned) if _repeats(planned) else planned
    return min(planned, searched, key=_repeats)


def _schedule(task: CircuitTask, rows: Square, name: str) -> CircuitSchedule:
    visits = sorted(
        Visit(slot + 1, rows[group][slot] + 1, group + 1) for group in range(task.groups) for slot in range(task.length)
    )
    return CircuitSchedule(task, tuple(visits), name)


def _searched(planned: CircuitSchedule) -> CircuitSchedule:
    """A circuit of the same size, with visits exchanged for fewer repeats."""
    found = reroute_circuit(planned, 0, ())
    return CircuitSchedule(found.task, found.visits, "searched circuit")


def _repeats(schedule: CircuitSchedule) -> int:
    there: dict[tuple[int, int], list[int]] = {}
    for visit in schedule.visits:
        there.setdefault((visit.slot, visit.station), []).append(visit.group)
    met = Counter(duo for groups in there.values() for duo in combinations(groups, 2))
    return met.total() - len(met)


def _in_even_order(rows: Square) -> Square:
    """The slots in the order in which no exchange of two makes stations follow each other more evenly."""
    order, cost, improved = list(range(len(rows[0]))), _unevenness(rows), True
    while improved:
        improved = False
        for a, b in combinations(range(len(order)), 2):
            order[a], order[b] = order[b], order[a]
            changed = _unevenness([[row[slot] for slot in order] for row in rows])
            if changed < cost:
                cost, improved = changed, True
            else:
                order[a], order[b] = order[b], order[a]
    return [[row[slot] for slot in order] for row in rows]


def _unevenness(rows: Square) -> int:
    return sum(times * times for times in Counter(step for row in rows for step in pairwise(row)).values())


def _turned(square: Square) -> Square:
    """The square with its rows one place on: other groups meet first, then those before them."""
    return square[1:] + square[:1]
