"""New partners: over the unit everybody works with as many others as can be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan
from grouper.model.problem import Problem, RoundSpec
from grouper.rules.rule import Breach
from grouper.rules.terms import Level, MeetingCost, Term

CLOSENESS_WEIGHTS = {"off": (10, 10, 10), "mild": (12, 11, 10), "strong": (16, 13, 10)}
"""What a meeting weighs in groups of up to 2, up to 4, and more; two meetings of a pair cost the product."""


@dataclass(frozen=True)
class Fresh:
    """Two students meet as seldom as can be, and repeats that cannot be avoided are spread.

    Two who meet m times cost C(m, 2) times 100, and more where they met in small groups: the setting ``closeness``.
    """

    key: str = "fresh"
    sentence: str = "Over the unit everybody works with as many different others as can be."
    level: Level = Level.FRESH

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all pairs and each two rounds in which they met, rounds with the aim ``stay`` included."""
        total, squares = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
        for round_ in plan.rounds:
            weight = meeting_weight(problem, problem.by_key[round_.key])
            for pair in round_.pairs:
                total[pair] += weight
                squares[pair] += weight * weight
        return sum((total[pair] ** 2 - squares[pair]) // 2 for pair in total)

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds."""
        keys = tuple(spec.key for spec in problem.rounds)
        yield MeetingCost(keys, tuple(meeting_weight(problem, spec) for spec in problem.rounds), self.level)


def meeting_weight(problem: Problem, spec: RoundSpec) -> int:
    """What a meeting in a round weighs, by the size of most of its groups; of sizes as frequent by the smaller."""
    small, middle, large = CLOSENESS_WEIGHTS[problem.settings.closeness]
    counts = Counter(spec.sizes)
    size = min(counts, key=lambda size: (-counts[size], size), default=0)
    if size <= 2:
        return small
    return middle if size <= 4 else large
