"""The few words in which rules speak to engines: a closed vocabulary, so that every engine knows all of it.

A rule lowers itself to terms; the board turns terms into arrays; engines know no rule. Costs here are plain integers in
the rule's own unit; the level of the term decides what a unit weighs: what a plan gives up last, and first, when it
can't have everything.

========  =======================================================================================
level     what stands on it
========  =======================================================================================
MUST      requests and gap windows: never given up; where they can't hold there is no plan
AIM       groups alike in ability, pairs that differ enough for coaching
EVEN      even teams within the tolerance
FRESH     new partners: the meeting cost over the whole unit
LESSON    nobody twice with the same partner within one lesson; as dear as FRESH, see below
TURNS     the trio shared out; the same
========  =======================================================================================

Every level has a weight. An engine adds up weight x cost; costs of AIM are counted in thousandths of the strand's
range, those of EVEN and FRESH in hundredths of the meeting cost. What a plan gives up for what, in repeats of a pair
(``docs/numbers.md`` has it in words):

* AIM: 7 thousandths of the range for 1 repeat, so that a tiny gain does not cost many repeats;
* EVEN: a round whose teams are uneven is worth a repeat, and one that is very uneven several;
* LESSON and TURNS: a second meeting in a lesson, or a turn more than somebody else had, for 1. At much less a search
  leaves them be at its end, though in all they cost hardly any repeats: see ``docs/quality/turns.md``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from fractions import Fraction
from math import ceil

from grouper.model.unit import RoundKey


class Level(IntEnum):
    """The levels, the first one given up last."""

    MUST = 0
    AIM = 1
    EVEN = 2
    FRESH = 3
    LESSON = 4
    TURNS = 5


USUAL = {Level.MUST: 10**9, Level.AIM: 40, Level.EVEN: 2, Level.FRESH: 2, Level.LESSON: 300, Level.TURNS: 300}

WEIGHTS: dict[str, dict[Level, int]] = {
    "": USUAL,
    "rather-new-partners": {**USUAL, Level.AIM: 3, Level.EVEN: 1},
    "rather-even-teams": {**USUAL, Level.EVEN: 6},
    "even-teams": {**USUAL, Level.AIM: 400, Level.EVEN: 200},
    "new-partners": {**USUAL, Level.FRESH: 200, Level.LESSON: 30_000, Level.TURNS: 30_000},
}
"""Weights by preference: the usual order, and tilted a little or altogether to even teams or new partners."""


def weight(prefer: str, level: Level) -> int:
    """What a unit of cost on a level weighs under a preference."""
    return WEIGHTS[prefer][level]


Pair = tuple[str, str]


@dataclass(frozen=True)
class CannotLink:
    """Cannot-link: pairs of students that never share a group in these rounds."""

    rounds: tuple[RoundKey, ...]
    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class MustLink:
    """Must-link: pairs of students that always share a group in these rounds."""

    rounds: tuple[RoundKey, ...]
    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class PairCost:
    """What two students in one group cost in each of these rounds; a pair that is not there costs nothing.

    With ``as_pair`` only where the two are a group by themselves, beside larger groups.
    """

    rounds: tuple[RoundKey, ...]
    costs: Mapping[Pair, int]
    level: Level
    as_pair: bool = False


@dataclass(frozen=True)
class MeetingCost:
    """Each two of these rounds in which a pair meets cost the product of their weights.

    With all weights 1, m meetings cost C(m, 2). ``weights`` has one entry a round, in the order of ``rounds``.
    """

    rounds: tuple[RoundKey, ...]
    weights: tuple[int, ...]
    level: Level


@dataclass(frozen=True)
class Window:
    """For groups of ``size``: the total from ``low`` to ``high`` is free, each step beyond costs ``step``."""

    size: int
    low: int
    high: int
    step: int

    def cost(self, total: int) -> int:
        """What a group of this size with this total costs."""
        return self.step * max(0, self.low - total, total - self.high)


@dataclass(frozen=True)
class EvenTotals:
    """A value for each student; in these rounds the total of each group should lie in the window for its size."""

    rounds: tuple[RoundKey, ...]
    values: Mapping[str, int]
    windows: tuple[Window, ...]
    level: Level


@dataclass(frozen=True)
class EvenAverages:
    """A value for each student; in these rounds the averages of the groups should lie near one another.

    The largest average may be ``tolerance`` above the smallest, wherever the two lie. What lies beyond costs ``step`` a
    unit; it is rounded up, and costs ``least`` at least. With ``parts`` the total of a group is divided by what stands
    there for its size, and not by the size; one that stands for 0 does not count.
    """

    rounds: tuple[RoundKey, ...]
    values: Mapping[str, int]
    tolerance: Fraction
    step: Fraction
    least: int
    level: Level
    parts: Mapping[int, Fraction] = field(default_factory=dict)

    def divisor(self, size: int) -> Fraction:
        """What the total of a group of this size is divided by; 0 where it does not count."""
        return self.parts.get(size, Fraction(size))

    def cost(self, spread: Fraction) -> int:
        """What a round costs whose largest average is so far above its smallest."""
        beyond = spread - self.tolerance
        return max(self.least, ceil(self.step * beyond)) if beyond > 0 else 0


@dataclass(frozen=True)
class Turns:
    """Groups of some sizes are a special place in these rounds; ``sizes`` has one entry a round, in their order.

    t turns of a student there cost C(t, 2), and t x b more for one who has had b turns ``before``.
    """

    rounds: tuple[RoundKey, ...]
    sizes: tuple[frozenset[int], ...]
    level: Level
    before: Mapping[str, int] = field(default_factory=dict)


Term = CannotLink | MustLink | PairCost | MeetingCost | EvenTotals | EvenAverages | Turns
