"""What rules share whose cost is a sum over the pairs of one round and depends on how much the two differ."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.model.unit import Activity
from grouper.rules.gaps import gaps_of
from grouper.rules.preference import Level
from grouper.rules.requested import rounds_alike
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

    def gap_cost(self, gap: float, span: float) -> int:
        """What two cost together who differ so much in a strand of this range."""
        raise NotImplementedError

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all two students in one group, in every round concerned."""
        return sum(
            gaps_of(problem, problem.by_key[round_.key]).total(round_.pairs, self.gap_cost)
            for round_ in plan.rounds
            if self.concerns(problem.by_key[round_.key].activity)
        )

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The cost of each two students: one term for all rounds in which it is the same."""
        gaps = ((spec.key, gaps_of(problem, spec)) for spec in problem.rounds if self.concerns(spec.activity))
        for rounds, alike in rounds_alike(gaps):
            yield PairCost(rounds, alike.costs(self.gap_cost), self.level)
