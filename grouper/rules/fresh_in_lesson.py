"""New partners within one lesson: where a repeat must be, not on the same day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.rules.rule import Breach
from grouper.rules.terms import Level, MeetingCost, Term


@dataclass(frozen=True)
class FreshInLesson:
    """Nobody meets the same person twice in one lesson where it can be avoided (common practice, no source)."""

    key: str = "fresh in a lesson"
    sentence: str = "Nobody works with the same person twice in one lesson where it can be avoided."
    level: Level = Level.LESSON

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all lessons and pairs of C(m, 2), m the meetings in that lesson."""
        return sum(ledger_of(plan.of_lesson(lesson)).meeting_cost for lesson in _lessons(problem))

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One for each lesson of more than one round."""
        for lesson in _lessons(problem):
            keys = tuple(spec.key for spec in problem.rounds if spec.key.lesson == lesson)
            if len(keys) > 1:
                yield MeetingCost(keys, (1,) * len(keys), self.level)


def _lessons(problem: Problem) -> list[int]:
    return list(dict.fromkeys(spec.key.lesson for spec in problem.rounds))
