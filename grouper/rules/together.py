"""Requests to keep two students together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan
from grouper.model.problem import Need, Problem
from grouper.model.request import Request
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import Glued, Term


@dataclass(frozen=True)
class Together:
    """Two students who were asked to be together share a group whenever people do not work alone."""

    key: str = "together"
    sentence: str = "Students who are to be together share a group, except where everybody works alone."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Each round in which two who should be together are in different groups."""
        return [
            Breach(self.key, round_.key, request.pair, _sentence(problem, round_.key.lesson, request.pair))
            for round_ in plan.rounds
            for request in together_in(problem, problem.by_key[round_.key])
            if request.pair not in set(round_.pairs)
        ]

    def cost(self, problem: Problem, plan: Plan) -> int:
        """How often two who should be together are in different groups."""
        return len(self.breaches(problem, plan))

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The pairs that are glued, round by round."""
        for need in problem.needs:
            pairs = tuple(dict.fromkeys(request.pair for request in together_in(problem, need)))
            if pairs:
                yield Glued((need.key,), pairs)


def together_in(problem: Problem, need: Need) -> tuple[Request, ...]:
    """The requests for together that a round can be asked to keep: none where everybody works alone."""
    alone = not need.sizes or need.sizes[0] == 1
    return () if alone else problem.requests_in(need, "together")


def _sentence(problem: Problem, lesson: int, pair: tuple[str, str]) -> str:
    one, other = (problem.roster.name(student) for student in pair)
    return f"lesson {lesson}: {one} and {other} are to be together and are not"
