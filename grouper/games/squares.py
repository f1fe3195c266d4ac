"""Designs for stations: Latin squares, and Howell designs for two groups at a station.

A square gives for each group (a row) its station in each slot, from 0.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from grouper.engines.designs.field import ring_of
from grouper.errors import InputError, OutOfTimeError
from grouper.games.rounds import zigzag

Square = list[list[int]]
Element = tuple[int, int]
Choice = tuple[Element, Element, int]

LARGEST_SEARCHED, MOST_WORK = 22, 60.0
"""The most stations for which a Howell design is searched, and how long (deterministic time)."""


def balanced_square(size: int) -> Square:
    """Row i, column t: the station of group i in slot t. For even ``size`` every station follows every other once.

    Source: E. J. Williams, Experimental designs balanced for the estimation of residual effects of treatments,
    Australian Journal of Scientific Research A 2, 1949.

    >>> balanced_square(4)
    [[0, 1, 3, 2], [1, 2, 0, 3], [2, 3, 1, 0], [3, 0, 2, 1]]
    """
    return [[(place + row) % size for place in zigzag(size)] for row in range(size)]


def rotation(groups: int, size: int) -> Square:
    """Everyone moves on to the next station in every slot, the last to the first."""
    return [[(group + slot) % size for slot in range(size)] for group in range(groups)]


def orthogonal_squares(size: int, most: int) -> list[Square]:
    """As many mutually orthogonal squares as fields give, at most ``most``: no two rows of two squares agree twice.

    A square for each element k below the spread: station x + k t for group x in slot t (H. F. MacNeish 1922 for sizes
    that are no prime power).
    """
    if size < 3:
        return [rotation(size, size)] if size > 0 else []
    ring = ring_of(size)
    factors = [ring.diagonal(a) for a in range(1, ring.spread)][:most]
    return [[[ring.plus(x, ring.times(k, t)) for t in range(size)] for x in range(size)] for k in factors]


def howell_design(stations: int) -> Square:
    """2n groups, two at each of n stations, everyone at every station once, and nobody together twice.

    They exist for all n but 2 (D. R. Stinson, The existence of Howell designs of odd side, Journal of Combinatorial
    Theory A 32, 1982; B. A. Anderson, P. J. Schellenberg and D. R. Stinson, The existence of Howell designs of even
    side, the same, 36, 1984).

    Raises
    ------
    InputError
        For 2 stations: whoever is apart in the first slot has both other stations' places left, so the same two would
        be together again.

    Examples
    --------
    >>> howell_design(3)[0]
    [0, 1, 2]
    """
    if stations == 2:
        raise InputError(
            "4 groups cannot change partners between 2 stations: both pairs swap stations and stay together; "
            "use 3 stations, or let the pairs meet twice"
        )
    if stations % 2:
        return balanced_square(stations) + [row[::-1] for row in balanced_square(stations)]
    squares = orthogonal_squares(stations, 2)
    if len(squares) == 2:
        return squares[0] + squares[1]
    # Slot i: each pair of the starter moved on by i, at the station i less its shift.
    rows = [[0] * stations for _ in range(2 * stations)]
    for one, two, shift in _starter_and_shifts(stations):
        for slot in range(stations):
            for number, side in (one, two):
                rows[(number + slot) % stations + side * stations][slot] = (slot + shift) % stations
    return rows


def is_known(stations: int) -> bool:
    """Whether `howell_design` makes one."""
    return stations != 2 and (stations % 4 != 2 or stations <= LARGEST_SEARCHED)


@cache
def _starter_and_shifts(n: int) -> tuple[Choice, ...]:
    """n pairs on two copies of Z_n with all differences different, and n different shifts (exact cover by CP-SAT).

    The pairs cover both copies, and so do the pairs moved back by their shifts: then every slot and every station has
    everyone once.
    """
    from ortools.sat.python import cp_model

    from grouper.engines.exact import cp_sat

    choices = _choices(n)
    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in choices]
    users: dict[Any, list[Any]] = {}
    for variable, choice in zip(taken, choices, strict=True):
        for item in _items(choice, n):
            users.setdefault(item, []).append(variable)
    for item, variables in users.items():
        (model.add_at_most_one if item[0] == "difference" else model.add_exactly_one)(variables)
    solver = cp_sat(MOST_WORK, seed=0)
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise OutOfTimeError(
            "no rotation of {most} groups through {n} stations was found in the time allowed", most=2 * n, n=n
        )
    return tuple(choice for variable, choice in zip(taken, choices, strict=True) if solver.value(variable))


def _choices(n: int) -> list[Choice]:
    elements = [(number, side) for side in (0, 1) for number in range(n)]
    return [
        (one, two, shift)
        for place, one in enumerate(elements)
        for two in elements[place + 1 :]
        if one[1] != two[1] or 2 * (two[0] - one[0]) % n
        for shift in range(n)
    ]


def _items(choice: Choice, n: int) -> list[Any]:
    """What a choice uses up: two elements in a slot, two at a station, the shift, the difference of its pair."""
    one, two, shift = choice
    step = (two[0] - one[0]) % n
    difference = (2, step) if one[1] != two[1] else (one[1], min(step, n - step))
    moved = [("station", ((number - shift) % n, side)) for number, side in (one, two)]
    return [("slot", one), ("slot", two), *moved, ("shift", shift), ("difference", difference)]
