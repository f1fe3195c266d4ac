"""Pairs of students: who was asked about, by how much two differ in a strand, and rules that price pairs by it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, combinations_with_replacement, product
from typing import TypeVar

from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.request import Request
from grouper.model.unit import Activity, RoundKey
from grouper.rules.rule import Preference
from grouper.rules.terms import Level, Pair, PairCost, Term

Said = TypeVar("Said")


def pairs_of(requests: Iterable[Request]) -> tuple[Pair, ...]:
    """The pairs that requests are about, each once, in the order in which they were asked for."""
    return tuple(dict.fromkeys(request.pair for request in requests))


def rounds_alike(said: Iterable[tuple[RoundKey, Said]]) -> Iterator[tuple[tuple[RoundKey, ...], Said]]:
    """Rounds of which the same is said, and what it is: one term then speaks for all of them."""
    rounds: dict[Said, list[RoundKey]] = {}
    for key, what in said:
        rounds.setdefault(what, []).append(key)
    return ((tuple(keys), what) for what, keys in rounds.items())


def met_among(round_: Round, pairs: Iterable[Pair]) -> Iterator[Pair]:
    """Those of the pairs that share a group in a round; linear in students and in pairs."""
    place = {student: number for number, group in enumerate(round_.groups) for student in group.members}
    return (pair for pair in pairs if pair[0] in place and place[pair[0]] == place.get(pair[1]))


GapCost = Callable[[float, float], int]
"""What two cost who differ by so much, in a strand of such a range; the ends of the range cost the same both ways."""


@dataclass(frozen=True)
class Gaps:
    """The students of a round with their ratings, and the range of the strand in the class."""

    ratings: tuple[tuple[str, float], ...]
    span: float

    @cached_property
    def by_student(self) -> dict[str, float]:
        """The rating of each student."""
        return dict(self.ratings)

    def total(self, pairs: Iterable[Pair], cost: GapCost) -> int:
        """What some pairs cost in all."""
        priced = self._priced(cost)
        rating = self.by_student
        return sum(priced[rating[one], rating[other]] for one, other in pairs)

    def costs(self, cost: GapCost) -> dict[Pair, int]:
        """What each two students cost, those left out that cost nothing; the smaller id stands first."""
        priced = self._priced(cost)
        alike: dict[float, list[str]] = {}
        for student, rating in self.ratings:
            alike.setdefault(rating, []).append(student)
        found: dict[Pair, int] = {}
        for one, other in combinations_with_replacement(sorted(alike), 2):
            if priced[one, other]:
                pairs = combinations(alike[one], 2) if one == other else product(alike[one], alike[other])
                found.update({(a, b) if a < b else (b, a): priced[one, other] for a, b in pairs})
        return found

    def _priced(self, cost: GapCost) -> dict[tuple[float, float], int]:
        """The price by the ratings of the two."""
        # Few ratings and many pairs: each two ratings are priced once.
        ratings = set(self.by_student.values())
        return {(one, other): cost(abs(one - other), self.span) for one in ratings for other in ratings}


def gaps_of(problem: Problem, spec: RoundSpec) -> Gaps:
    """The gaps of those who take part in a round, in the strand of its activity."""
    strand = spec.activity.strand
    ratings = tuple((student, problem.roster.rating(student, strand)) for student in spec.students)
    return Gaps(ratings, problem.roster.span(strand))


@dataclass(frozen=True)
class PairwiseRule(Preference):
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
