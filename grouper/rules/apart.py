"""Requests to keep two students apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan
from grouper.model.problem import Problem, RoundSpec
from grouper.rules.pairs import met_among, pairs_of, rounds_alike
from grouper.rules.rule import Breach
from grouper.rules.terms import CannotLink, Level, Pair, Term


@dataclass(frozen=True)
class Apart:
    """Two students who were asked to be kept apart never share a group."""

    key: str = "apart"
    sentence: str = "Students who are to be kept apart never share a group."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Each round in which two who should be apart are in one group."""
        return [
            Breach(self.key, round_.key, pair, _sentence(problem, round_.key.lesson, pair))
            for round_ in plan.rounds
            for pair in met_among(round_, pairs_apart(problem, problem.by_key[round_.key]))
        ]

    def cost(self, problem: Problem, plan: Plan) -> int:
        """How often two who should be apart share a group."""
        return len(self.breaches(problem, plan))

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The pairs that are forbidden: one term for all rounds in which they are the same."""
        for rounds, pairs in rounds_alike((spec.key, pairs_apart(problem, spec)) for spec in problem.rounds):
            if pairs:
                yield CannotLink(rounds, pairs)


def pairs_apart(problem: Problem, spec: RoundSpec) -> tuple[Pair, ...]:
    """The pairs that are to be kept apart in a round, each once."""
    return pairs_of(problem.requests_in(spec, "apart"))


def _sentence(problem: Problem, lesson: int, pair: tuple[str, str]) -> str:
    one, other = (problem.roster.name(student) for student in pair)
    return f"lesson {lesson}: {one} and {other} are to be kept apart and share a group"
