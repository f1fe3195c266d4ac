"""By how much students differ in a strand, worked out by rating, as there are far fewer ratings than pairs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, combinations_with_replacement, product

from grouper.model.problem import Problem, RoundSpec
from grouper.rules.terms import Pair

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
        alike = self._alike()
        return {
            pair: priced[one, other]
            for one, other in combinations_with_replacement(sorted(alike), 2)
            if priced[one, other]
            for pair in _pairs(alike[one], None if one == other else alike[other])
        }

    def _priced(self, cost: GapCost) -> dict[tuple[float, float], int]:
        """The price by the ratings of the two."""
        ratings = set(self.by_student.values())
        return {(one, other): cost(abs(one - other), self.span) for one in ratings for other in ratings}

    def _alike(self) -> dict[float, list[str]]:
        """The students by rating."""
        alike: dict[float, list[str]] = {}
        for student, rating in self.ratings:
            alike.setdefault(rating, []).append(student)
        return alike


def gaps_of(problem: Problem, spec: RoundSpec) -> Gaps:
    """The gaps of those who take part in a round, in the strand of its activity."""
    strand = spec.activity.strand
    ratings = tuple((student, problem.roster.rating(student, strand)) for student in spec.students)
    return Gaps(ratings, problem.roster.span(strand))


def _pairs(ones: list[str], others: list[str] | None) -> Iterator[Pair]:
    pairs = combinations(ones, 2) if others is None else product(ones, others)
    return ((one, other) if one < other else (other, one) for one, other in pairs)
