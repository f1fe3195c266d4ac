"""What rules share whose cost is a sum over the pairs of one round."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.model.unit import Activity
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import PairCost, Term


@dataclass(frozen=True)
class PairwiseRule:
    """A rule with a cost for each two students in one group; a subclass says for which activities and how much."""

    key: str = ""
    sentence: str = ""
    level: Level = Level.AIM

    def concerns(self, activity: Activity) -> bool:
        """Whether the rule is about this activity."""
        raise NotImplementedError

    def pair_cost(self, problem: Problem, activity: Activity, pair: tuple[str, str]) -> int:
        """What these two cost together in a round of the activity."""
        raise NotImplementedError

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all two students in one group, in every round concerned."""
        return sum(
            self.pair_cost(problem, problem.by_key[round_.key].activity, pair)
            for round_ in plan.rounds
            if self.concerns(problem.by_key[round_.key].activity)
            for pair in round_.pairs
        )

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The cost of each two students, for the rounds concerned."""
        for need in problem.needs:
            if self.concerns(need.activity):
                pairs = combinations(sorted(need.students), 2)
                costs = {pair: self.pair_cost(problem, need.activity, pair) for pair in pairs}
                yield PairCost((need.key,), {pair: cost for pair, cost in costs.items() if cost}, self.level)
