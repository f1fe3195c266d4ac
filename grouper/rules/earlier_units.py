"""New partners over units: whom somebody has worked with in earlier units comes later, the longer ago the less so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor

from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.rules.fresh import meeting_weight
from grouper.rules.pairs import rounds_alike
from grouper.rules.rule import Breach
from grouper.rules.terms import Level, Pair, PairCost, Term

EARLIER_WEIGHT = 10
"""What a meeting of an earlier unit weighs before it fades: that of one in a large team."""


@dataclass(frozen=True)
class EarlierUnits:
    """A meeting with somebody met in earlier units costs what a repeat does, times what is left of those meetings."""

    key: str = "earlier units"
    sentence: str = "Those who have worked together in earlier units do so later than those who have not."
    level: Level = Level.FRESH

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all meetings of the weight of the meeting times that of the two's earlier ones."""
        weights = earlier_weights(problem)
        if not weights:
            return 0
        return sum(
            meeting_weight(problem, problem.by_key[round_.key]) * weights.get(pair, 0)
            for round_ in plan.rounds
            for pair in round_.pairs
        )

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One for all rounds in which a meeting weighs the same."""
        weights = earlier_weights(problem)
        if weights:
            for rounds, each in rounds_alike((spec.key, meeting_weight(problem, spec)) for spec in problem.rounds):
                yield PairCost(rounds, {pair: each * weight for pair, weight in weights.items()}, self.level)


def earlier_weights(problem: Problem) -> dict[Pair, int]:
    """What is left of the earlier meetings of each two students; those that weigh nothing any more are not there."""
    weighed = ((pair, floor(EARLIER_WEIGHT * met + 0.5)) for pair, met in problem.earlier.meetings.items())
    return {pair: weight for pair, weight in weighed if weight}
