"""The door to the rest of a day: one list of ways to fill slots with the games that are left.

Each says whether it applies; all that do are tried in turn until one reaches the bounds, and the best is taken.
"""

from __future__ import annotations

from typing import Protocol

from grouper.games.coloured import balanced_slots
from grouper.games.exact import MOST_CHOICES, exact_slots
from grouper.games.filling import Rest
from grouper.games.greedy import fewest_first
from grouper.games.pairing import Slots, packed


class Filler(Protocol):
    """A way to fill slots."""

    name: str

    def fits(self, rest: Rest) -> bool:
        """Whether it can be used."""
        ...

    def fill(self, rest: Rest) -> Slots | None:
        """Games in slots within the limits of ``rest``, or ``None`` when it finds nothing."""
        ...


class AsPlanned:
    """The games left in the order in which they were planned."""

    name = "as planned"

    def fits(self, rest: Rest) -> bool:
        return True

    def fill(self, rest: Rest) -> Slots:
        return packed(rest.left, rest.at_once)[: rest.slots]


class FewestFirst:
    """Slot by slot, those first who have played least and waited longest."""

    name = "fewest games first"

    def fits(self, rest: Rest) -> bool:
        return True

    def fill(self, rest: Rest) -> Slots:
        return fewest_first(rest)


class Balanced:
    """As few slots as there are colours, all equally full, then put in an order with short waits."""

    name = "balanced slots"

    def fits(self, rest: Rest) -> bool:
        return rest.most_games() == len(rest.left)

    def fill(self, rest: Rest) -> Slots | None:
        return balanced_slots(rest)


class Exact:
    """Exact search (CP-SAT) for small rests."""

    name = "exact search"

    def fits(self, rest: Rest) -> bool:
        return 0 < len(rest.left) * rest.fewest_slots() <= MOST_CHOICES

    def fill(self, rest: Rest) -> Slots | None:
        return exact_slots(rest)


FILLERS: tuple[Filler, ...] = (AsPlanned(), FewestFirst(), Balanced(), Exact())


def filled(rest: Rest) -> tuple[str, Slots]:
    """The best filling, with the name of its maker."""
    found: list[tuple[str, Slots]] = []
    for filler in FILLERS:
        slots = filler.fill(rest) if filler.fits(rest) else None
        if slots is not None:
            found.append((filler.name, slots))
            if rest.at_its_best(slots) and len(found) > 1:
                break
    return min(found, key=lambda one: rest.merit(one[1]))
