"""The plain shapes that draws work on: pairs of teams in slots, the first of a pair at home."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Pair = tuple[int, int]
Slots = list[list[Pair]]


@dataclass(frozen=True)
class Drawn:
    """What a draw hands over.

    Parameters
    ----------
    slots : list of list of pairs
        Teams from 1, the first of a pair at home.
    homes_settled : bool
        Whether home and away are as they should stay.
    courts : list of list of int, optional
        The court of each game where the draw has settled it, from 1.
    """

    slots: Slots
    homes_settled: bool = False
    courts: list[list[int]] | None = None


def reversed_homes(rounds: Iterable[Sequence[Pair]]) -> Slots:
    """The same games with home and away exchanged."""
    return [[(away, home) for home, away in games] for games in rounds]


def packed(sequence: Sequence[Pair], at_once: int) -> Slots:
    """Games in the order given, each in the first slot from the current one on that is free for it.

    A slot takes the earliest games left that fit; order is kept as far as no team plays twice at once.
    """
    slots: Slots = []
    left = list(sequence)
    while left:
        slot, left = _first_that_fit(left, at_once)
        slots.append(slot)
    return slots


def _first_that_fit(sequence: list[Pair], at_once: int) -> tuple[list[Pair], list[Pair]]:
    taken: list[Pair] = []
    later: list[Pair] = []
    busy: set[int] = set()
    for pair in sequence:
        if len(taken) < at_once and busy.isdisjoint(pair):
            taken.append(pair)
            busy.update(pair)
        else:
            later.append(pair)
    return taken, later
