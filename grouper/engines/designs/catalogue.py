"""Designs with a turning symmetry: a few base rounds, found by search, that are turned step by step.

The catalogue is made by ``PYTHONPATH=tests python -m design_search``. An entry's places lie on cycles, numbered
one after another; a step moves every place one on along its cycle (a cycle of one stays). A base round stands for
``rounds`` rounds: itself, itself moved by one step, by two, and so on. Moved by ``rounds`` steps it is itself again;
of groups that are moved onto one another by that, only the first is stored.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import lcm
from typing import TYPE_CHECKING, Any

from grouper.engines.designs.design import Group, Round, Sizes, largest_first

if TYPE_CHECKING:
    from pathlib import Path

SOURCE = "base rounds turned step by step (R. C. Bose 1939, On the construction of balanced incomplete block designs)"


@dataclass(frozen=True)
class BaseRound:
    """A round that is stored: its groups, and how many rounds it stands for."""

    rounds: int
    groups: tuple[Group, ...]


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
                shifts = range(steps, lcm(*self.cycles), base.rounds)
                groups = {self._moved(group, shift) for group in base.groups for shift in shifts}
                yield largest_first(groups)

    def _moved(self, group: Group, steps: int) -> Group:
        return tuple(sorted(self._place(place, steps) for place in group))

    def _place(self, place: int, steps: int) -> int:
        start = 0
        for length in self.cycles:
            if place < start + length:
                return start + (place - start + steps) % length
            start += length
        raise IndexError(f"place {place} is on none of the cycles {self.cycles}")


def catalogue_length(sizes: Sizes) -> int:
    """Rounds of the catalogue's design for these sizes, 0 where it has none."""
    entry = catalogue().get(sizes)
    return entry.length if entry else 0


def catalogue_rounds(sizes: Sizes) -> Iterator[Round]:
    """The rounds of the catalogue's design for these sizes."""
    return catalogue()[sizes].developed()


@cache
def catalogue() -> dict[Sizes, Entry]:
    """Every entry by its group sizes; the file is read on first use, and so are the modules that this takes."""
    import json

    records = json.loads(catalogue_file().read_text(encoding="utf-8"))["designs"]
    entries = [entry_from(record) for record in records]
    return {entry.sizes: entry for entry in entries}


def catalogue_file() -> Path:
    """Where the catalogue is."""
    from pathlib import Path

    return Path(__file__).with_name("catalogue.json")


def entry_from(record: dict[str, Any]) -> Entry:
    """An entry from its record in the file."""
    bases = tuple(BaseRound(base["rounds"], tuple(map(tuple, base["groups"]))) for base in record["bases"])
    return Entry(sizes_from(record["sizes"]), tuple(record["cycles"]), bases)


def sizes_from(text: str) -> Sizes:
    """Group sizes from a short form.

    Examples
    --------
    >>> sizes_from("3x4+2x3")
    (4, 4, 4, 3, 3)
    """
    parts = [part.split("x") for part in text.split("+")]
    return tuple(int(size) for count, size in parts for _ in range(int(count)))
