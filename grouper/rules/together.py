"""Requests to keep two students together, or apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.request import Request
from grouper.model.unit import RoundKey
from grouper.rules.pairs import met_among, pairs_of, rounds_alike
from grouper.rules.rule import Breach, Rule
from grouper.rules.terms import CannotLink, Level, MustLink, Pair, Term


@dataclass(frozen=True)
class Together:
    """Two students who were asked to be together share a group whenever people do not work alone."""

    key: str = "together"
    sentence: str = "Students who are to be together share a group, except where everybody works alone."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Each round in which two who should be together are in different groups."""
        return [
            _breach(self, problem, round_.key, pair, "together and are not")
            for round_ in plan.rounds
            for pair in _split(problem, round_)
        ]

    def cost(self, problem: Problem, plan: Plan) -> int:
        """How often two who should be together are in different groups."""
        return len(self.breaches(problem, plan))

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The pairs that must be linked: one term for all rounds in which they are the same."""
        linked = ((spec.key, pairs_of(together_in(problem, spec))) for spec in problem.rounds)
        for rounds, pairs in rounds_alike(linked):
            if pairs:
                yield MustLink(rounds, pairs)


def _split(problem: Problem, round_: Round) -> Iterator[Pair]:
    """The pairs that are to be together in a round and are not."""
    wanted = pairs_of(together_in(problem, problem.by_key[round_.key]))
    met = set(met_among(round_, wanted))
    return (pair for pair in wanted if pair not in met)


def together_in(problem: Problem, spec: RoundSpec) -> tuple[Request, ...]:
    """The requests for together that a round can be asked to keep: none where everybody works alone."""
    # Sizes stand with the largest first.
    alone = not spec.sizes or spec.sizes[0] == 1
    return () if alone else problem.requests_in(spec, "together")


def _breach(rule: Rule, problem: Problem, key: RoundKey, pair: Pair, what: str) -> Breach:
    one, other = (problem.roster.name(student) for student in pair)
    return Breach(rule.key, key, pair, f"lesson {key.lesson}: {one} and {other} are to be {what}")


@dataclass(frozen=True)
class Apart:
    """Two students who were asked to be kept apart never share a group."""

    key: str = "apart"
    sentence: str = "Students who are to be kept apart never share a group."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Each round in which two who should be apart are in one group."""
        return [
            _breach(self, problem, round_.key, pair, "kept apart and share a group")
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
