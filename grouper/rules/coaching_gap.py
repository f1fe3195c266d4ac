"""Coaching pairs for which no window was given: across abilities, as far as can be."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.model.unit import Activity
from grouper.rules.pairs import PairwiseRule
from grouper.rules.terms import Level

USUAL_SHARE = 0.25
"""A quarter of the range (one step on 1 to 5) is across abilities; common practice, no source."""


@dataclass(frozen=True)
class CoachingGap(PairwiseRule):
    """Where a coaching activity has no window, the two differ by a quarter of the strand's range or more."""

    key: str = "coaching gap"
    sentence: str = "In coaching pairs without a window the two differ by at least a quarter of the range."
    level: Level = Level.AIM

    def concerns(self, activity: Activity) -> bool:
        """Coaching activities without a window."""
        return activity.aim == "coaching" and activity.min_gap is None and activity.max_gap is None

    def gap_cost(self, gap: float, span: float) -> int:
        """Thousandths of the range by which the pair is too much alike."""
        return max(0, round(1000 * (USUAL_SHARE * span - gap) / span)) if span else 0
