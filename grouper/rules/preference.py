"""The order of preference: what a plan gives up last, and first, when it can't have everything.

========  =======================================================================================
level     what stands on it
========  =======================================================================================
MUST      requests and gap windows: never given up; where they can't hold there is no plan
AIM       groups alike in ability, pairs that differ enough for coaching
EVEN      even teams within the tolerance
FRESH     new partners: the meeting cost over the whole unit
LESSON    nobody twice with the same partner within one lesson
TURNS     the trio shared out
========  =======================================================================================

Every level has a weight. An engine adds up weight x cost; the weights are far enough apart that a level outweighs
those below it in all but extreme cases, and near enough that a tiny gain on AIM does not cost many repeats. AIM costs
are counted in thousandths of the strand's range, EVEN and FRESH in hundredths of the meeting cost: a round whose teams
are uneven is worth a repeat, and one that is very uneven worth several.
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


USUAL = {Level.MUST: 10**9, Level.AIM: 40, Level.EVEN: 2, Level.FRESH: 2, Level.LESSON: 40, Level.TURNS: 80}

WEIGHTS: dict[str, dict[Level, int]] = {
    "": USUAL,
    "rather-new-partners": {**USUAL, Level.AIM: 3, Level.EVEN: 1},
    "rather-even-teams": {**USUAL, Level.EVEN: 6},
    "even-teams": {**USUAL, Level.AIM: 400, Level.EVEN: 200},
    "new-partners": {**USUAL, Level.FRESH: 200, Level.LESSON: 200},
}
"""Weights by preference: the usual order, and tilted a little or altogether to even teams or new partners."""


def weight(prefer: str, level: Level) -> int:
    """What a unit of cost on a level weighs under a preference."""
    return WEIGHTS[prefer][level]
