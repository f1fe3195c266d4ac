"""Designs with a turning symmetry: a few base rounds, found by search, that are turned step by step.

The catalogue is made by ``python -m grouper.engines.designs.search``. An entry's places lie on cycles, numbered one
after another; a step moves every place one on along its cycle (a cycle of one stays). A base round stands for
``rounds`` rounds: itself, itself moved by one step, by two, ... Where its groups come in ``copies``, only the first of
each is stored: the others are it moved by ``stride`` steps, twice that, ...
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from grouper.engines.designs.design import Group, Round, Sizes, largest_first

SOURCE = "base rounds turned step by step (starters; R. C. Bose 1939, On the construction of balanced incomplete block designs)"


@dataclass(frozen=True)
class BaseRound:
    """One stored round: its groups, how many moved copies of them it has, and how many rounds it stands for."""

    groups: tuple[Group, ...]
    rounds: int
    copies: int = 1
    stride: int = 1

    def moved(self, cycles: tuple[int, ...], steps: int) -> Round:
        """All groups of the round, moved by so many steps."""
        place = _mover(cycles)
        shifts = [steps + copy * self.stride for copy in range(self.copies)]
        return largest_first([place(p, shift) for p in group] for shift in shifts for group in self.groups)


@dataclass(frozen=True)
class Entry:
    """A design as the catalogue stores it."""

    sizes: Sizes
    cycles: tuple[int, ...]
    bases: tuple[BaseRound, ...]

    @property
    def length(self) -> int:
        """How many rounds it gives."""
        return sum(base.rounds for base in self.bases)

    def developed(self) -> Iterator[Round]:
        """The rounds in full."""
        for base in self.bases:
            for steps in range(base.rounds):
                yield base.moved(self.cycles, steps)


def catalogue_length(sizes: Sizes) -> int:
    """Rounds of the catalogue's design for these sizes, 0 where it has none."""
    entry = catalogue().get(sizes)
    return entry.length if entry else 0


def catalogue_rounds(sizes: Sizes) -> Iterator[Round]:
    """The rounds of the catalogue's design for these sizes."""
    return catalogue()[sizes].developed()


@cache
def catalogue() -> dict[Sizes, Entry]:
    """Every entry by its group sizes; the file is read on first use."""
    text = files("grouper.engines.designs").joinpath("catalogue.json").read_text(encoding="utf-8")
    entries = [entry_from(record) for record in json.loads(text)["designs"]]
    return {entry.sizes: entry for entry in entries}


def entry_from(record: dict) -> Entry:  # type: ignore[type-arg]
    """An entry from its record in the file."""
    bases = tuple(
        BaseRound(tuple(map(tuple, base["groups"])), base["rounds"], base.get("copies", 1), base.get("stride", 1))
        for base in record["bases"]
    )
    return Entry(sizes_from(record["sizes"]), tuple(record["cycles"]), bases)


def sizes_from(text: str) -> Sizes:
    """Group sizes from a short form: '3x4+2x3' is three groups of four and two of three."""
    sizes: list[int] = []
    for part in text.split("+"):
        count, size = part.split("x")
        sizes += [int(size)] * int(count)
    return tuple(sizes)


def short_form(sizes: Sizes) -> str:
    """The reverse of `sizes_from`."""
    return "+".join(f"{sizes.count(size)}x{size}" for size in sorted(set(sizes), reverse=True))


def _mover(cycles: tuple[int, ...]):  # type: ignore[no-untyped-def]
    starts = [start for i, length in enumerate(cycles) for start in [sum(cycles[:i])] * length]
    lengths = [length for length in cycles for _ in range(length)]

    def place(p: int, shift: int) -> int:
        return starts[p] + (p - starts[p] + shift) % lengths[p]

    return place
