"""New partners: over the unit everybody works with as many others as can be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import floor

from grouper.model.ledger import ledger_of
from grouper.model.plan import Plan
from grouper.model.problem import Problem, RoundSpec
from grouper.rules.pairs import rounds_alike
from grouper.rules.rule import Preference
from grouper.rules.terms import Level, MeetingCost, Pair, PairCost, Term

CLOSENESS_WEIGHTS = {"off": (10, 10, 10), "mild": (12, 11, 10), "strong": (16, 13, 10)}
"""What a meeting weighs in groups of up to 2, up to 4, and more; two meetings of a pair cost the product."""


@dataclass(frozen=True)
class Fresh(Preference):
    """Two students meet as seldom as can be, and repeats that cannot be avoided are spread.

    Two who meet m times cost C(m, 2) times 100, and more where they met in small groups: the setting ``closeness``.
    """

    key: str = "fresh"
    sentence: str = "Over the unit everybody works with as many different others as can be."
    level: Level = Level.FRESH

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all pairs and each two rounds in which they met, rounds with the aim ``stay`` included."""
        total, squares = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
        for round_ in plan.rounds:
            weight = meeting_weight(problem, problem.by_key[round_.key])
            for pair in round_.pairs:
                total[pair] += weight
                squares[pair] += weight * weight
        return sum((total[pair] ** 2 - squares[pair]) // 2 for pair in total)

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds."""
        keys = tuple(spec.key for spec in problem.rounds)
        yield MeetingCost(keys, tuple(meeting_weight(problem, spec) for spec in problem.rounds), self.level)


def meeting_weight(problem: Problem, spec: RoundSpec) -> int:
    """What a meeting in a round weighs, by the size of most of its groups; of sizes as frequent by the smaller."""
    small, middle, large = CLOSENESS_WEIGHTS[problem.settings.closeness]
    counts = Counter(spec.sizes)
    size = min(counts, key=lambda size: (-counts[size], size), default=0)
    if size <= 2:
        return small
    return middle if size <= 4 else large


@dataclass(frozen=True)
class FreshInLesson(Preference):
    """Nobody meets the same person twice in one lesson where it can be avoided (common practice, no source)."""

    key: str = "fresh in a lesson"
    sentence: str = "Nobody works with the same person twice in one lesson where it can be avoided."
    level: Level = Level.LESSON

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


EARLIER_WEIGHT = 10
"""What a meeting of an earlier unit weighs before it fades: that of one in a large team."""


@dataclass(frozen=True)
class EarlierUnits(Preference):
    """A meeting with somebody met in earlier units costs what a repeat does, times what is left of those meetings."""

    key: str = "earlier units"
    sentence: str = "Those who have worked together in earlier units do so later than those who have not."
    level: Level = Level.FRESH

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all meetings of the weight of the meeting times that of the two's earlier ones."""
        weights = earlier_weights(problem)
        if not weights:
            return 0
        return sum(
            meeting_weight(problem, problem.by_key[round_.key]) * weights.get(pair, 0)
            for round_ in plan.rounds
            for pair in round_.pairs
        )

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One for all rounds in which a meeting weighs the same."""
        weights = earlier_weights(problem)
        if weights:
            for rounds, each in rounds_alike((spec.key, meeting_weight(problem, spec)) for spec in problem.rounds):
                yield PairCost(rounds, {pair: each * weight for pair, weight in weights.items()}, self.level)


def earlier_weights(problem: Problem) -> dict[Pair, int]:
    """What is left of the earlier meetings of each two students; those that weigh nothing any more are not there."""
    # Halves go up; round() would take them to the even number, now up and now down.
    weighed = ((pair, floor(EARLIER_WEIGHT * met + 0.5)) for pair, met in problem.earlier.meetings.items())
    return {pair: weight for pair, weight in weighed if weight}
