"""The order of preference: what a plan gives up last, and first, when it can't have everything.

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

from enum import IntEnum


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
