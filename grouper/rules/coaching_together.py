"""Coaching pairs and a request that the gap window rules out: the two work in the trio, where the window is a price."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.rules.coaching import gap_fits
from grouper.rules.pairs import pairs_of
from grouper.rules.rule import Breach
from grouper.rules.terms import EvenTotals, Level, Term, Window
from grouper.rules.together import together_in

PAIR = 2

PRICE = 3
"""For each of them who works in a pair: as much as all gaps of a trio, so that parting them never pays."""


@dataclass(frozen=True)
class CoachingTogether:
    """Two who are to be together, and whose gap lies outside of the window, share a group that is larger than a pair.

    The request asks for one group and the window bars the pair, so that in an odd class only the trio is left. Together
    and the window by themselves would price the two alike, parted or in the trio: this price tells them apart.
    """

    key: str = "coaching together"
    sentence: str = "Two who are to be together and cannot be a coaching pair work in the trio."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None of its own: the two break the request where they are parted, and the window where they are a pair."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The price for each of such students who works in a pair, in every coaching round that has larger groups."""
        bound = {spec.key: bound_to_trio(problem, spec) for spec in problem.rounds}
        return PRICE * sum(_in_pairs(round_, bound[round_.key]) for round_ in plan.rounds)

    def terms(self, problem: Problem) -> Iterator[Term]:
        """A total of such students that a pair should not have, for each round in which there are any."""
        for spec in problem.rounds:
            bound = bound_to_trio(problem, spec)
            if bound:
                values = {student: int(student in bound) for student in spec.students}
                yield EvenTotals((spec.key,), values, _windows(spec), self.level)


def bound_to_trio(problem: Problem, spec: RoundSpec) -> frozenset[str]:
    """Who must be in a group larger than a pair; nobody where the round has none, or has no pairs."""
    if spec.activity.aim != "coaching" or PAIR not in spec.sizes or max(spec.sizes) == PAIR:
        return frozenset()
    asked = pairs_of(together_in(problem, spec))
    return frozenset(student for pair in asked if not gap_fits(problem, spec.activity, pair) for student in pair)


def _in_pairs(round_: Round, students: frozenset[str]) -> int:
    return sum(len(students & set(group.members)) for group in round_.groups if len(group.members) == PAIR)


def _windows(spec: RoundSpec) -> tuple[Window, ...]:
    return tuple(Window(size, 0, 0 if size == PAIR else size, PRICE) for size in sorted(set(spec.sizes)))
