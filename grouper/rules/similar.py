"""Groups that are alike in ability."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.model.unit import Activity
from grouper.rules.pairs import PairwiseRule
from grouper.rules.terms import Level

ALIKE_SHARE = 0.25
"""Two who differ by a quarter of the range at most (one step on 1 to 5) count as alike; common practice, no source."""


@dataclass(frozen=True)
class Similar(PairwiseRule):
    """Students of one group differ in the strand by a quarter of its range at most, or as little as can be."""

    key: str = "similar"
    sentence: str = "In groups for similar ability the members are as near to one another as can be."
    level: Level = Level.AIM

    def concerns(self, activity: Activity) -> bool:
        """Activities with the aim ``similar``."""
        return activity.aim == "similar"

    def gap_cost(self, gap: float, span: float) -> int:
        """Thousandths of the range by which the two differ too much."""
        return max(0, round(1000 * (gap - ALIKE_SHARE * span) / span)) if span else 0
