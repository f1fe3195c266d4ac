"""Requests to keep two students apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import Forbidden, Term


@dataclass(frozen=True)
class Apart:
    """Two students who were asked to be kept apart never share a group."""

    key: str = "apart"
    sentence: str = "Students who are to be kept apart never share a group."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Each round in which two who should be apart are in one group."""
        return [
            Breach(self.key, round_.key, request.pair, _sentence(problem, round_.key.lesson, request.pair))
            for round_ in plan.rounds
            for request in problem.requests_in(problem.by_key[round_.key], "apart")
            if request.pair in set(round_.pairs)
        ]

    def cost(self, problem: Problem, plan: Plan) -> int:
        """How often two who should be apart share a group."""
        return len(self.breaches(problem, plan))

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The pairs that are forbidden, round by round."""
        for need in problem.needs:
            pairs = tuple(dict.fromkeys(request.pair for request in problem.requests_in(need, "apart")))
            if pairs:
                yield Forbidden((need.key,), pairs)


def _sentence(problem: Problem, lesson: int, pair: tuple[str, str]) -> str:
    one, other = (problem.roster.name(student) for student in pair)
    return f"lesson {lesson}: {one} and {other} are to be kept apart and share a group"
