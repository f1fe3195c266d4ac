"""New partners: over the unit everybody works with as many others as can be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import MeetingCost, Term


@dataclass(frozen=True)
class Fresh:
    """Two students meet as seldom as can be, and repeats that cannot be avoided are spread.

    Two who meet m times cost C(m, 2): the first meeting nothing, the second 1, the third 2 more.
    """

    key: str = "fresh"
    sentence: str = "Over the unit everybody works with as many different others as can be."
    level: Level = Level.FRESH

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all pairs of C(m, 2), rounds with the aim ``stay`` included."""
        return ledger_of(plan.rounds).meeting_cost

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds."""
        yield MeetingCost(tuple(need.key for need in problem.needs), self.level)
