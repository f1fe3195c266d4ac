"""Even teams: the averages of a round's teams differ by an eighth of the strand's range at most."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, comb, gcd

from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.sides import Sizes
from grouper.model.unit import Activity, floating, large_and_small
from grouper.rules.fresh import meeting_weight
from grouper.rules.pairs import PairwiseRule
from grouper.rules.rule import Preference
from grouper.rules.terms import EvenAverages, Level, Term

TOLERANCE = Fraction(1, 8)
"""Of the strand's range: half a step on 1 to 5."""

RANGE_IN_REPEATS = 17
"""What teams cost that are the whole range apart beyond the tolerance; a quarter of a step on 1 to 5 is just more than
a repeat, so that of two rounds that a repeat tells apart the even one is taken."""

FINEST = 400
"""Ratings finer than the range divided by this are rounded to it: far below anything that evens a team."""


@dataclass(frozen=True)
class Balanced(Preference):
    """The largest and the smallest team average of a round are an eighth of the range apart at most, or near to it.

    Wherever the two lie: a round may have all its teams above the class average where the ones left over are smaller.
    Of sides that differ on purpose it is totals that are even, as five play against three, in the place of averages
    each total divided by the mean of the sides; floaters play for both and do not count.
    Under the preference ``even-teams`` no difference is free, so that teams are as even as they can be.
    """

    key: str = "balanced"
    sentence: str = "The averages of balanced teams differ by an eighth of the range at most, or as little as can be."
    level: Level = Level.EVEN

    def cost(self, problem: Problem, plan: Plan) -> int:
        """Over all balanced rounds: what the averages are apart beyond the tolerance, in hundredths of a repeat."""
        return sum(_round_cost(problem, round_) for round_ in plan.rounds)

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One for each balanced round."""
        for spec in problem.rounds:
            if _is_balanced(spec):
                yield even_averages(problem, spec)


def _is_balanced(spec: RoundSpec) -> bool:
    return spec.activity.aim == "balanced" and bool(spec.students)


def _round_cost(problem: Problem, round_: Round) -> int:
    spec = problem.by_key[round_.key]
    if not _is_balanced(spec):
        return 0
    term = even_averages(problem, spec)
    counting = [(g.members, term.divisor(len(g.members))) for g in round_.groups if term.divisor(len(g.members))]
    averages = [sum(term.values[s] for s in members) / divisor for members, divisor in counting]
    return term.cost(max(averages) - min(averages)) if averages else 0


def even_averages(problem: Problem, spec: RoundSpec) -> EvenAverages:
    """What is asked of the teams of a round: how far averages may be apart, in steps, and what lies beyond costs."""
    meetings = sum(comb(size, 2) for other in problem.rounds for size in other.sizes)
    pairs = comb(len(spec.students), 2)
    span, repeat = range_in_steps(problem, spec), meeting_weight(problem, spec) ** 2 * max(1, meetings // max(1, pairs))
    tolerance = TOLERANCE * span * TOLERATED.get(problem.settings.prefer, 1)
    return EvenAverages(
        rounds=(spec.key,),
        values=steps(problem, spec),
        tolerance=tolerance,
        step=Fraction(RANGE_IN_REPEATS * repeat) / span,
        # However little beyond the tolerance, an uneven round is worth a repeat: else many would be a little uneven.
        least=ceil(RANGE_IN_REPEATS * repeat * TOLERANCE / 2) if tolerance else 0,
        level=Level.EVEN,
        parts=parts_of(spec.activity, spec.sizes),
    )


def parts_of(activity: Activity, sizes: Sizes) -> dict[int, Fraction]:
    """By what the total of a side is divided, by its size; empty where sides do not differ on purpose.

    The largest side is to be stronger by the edge, so that what is divided by more is to be more.
    """
    if not activity.sides:
        return {}
    (large, small), asked = large_and_small(activity, sizes), activity.playing
    mean = Fraction(sum(asked), len(asked))
    return {
        **dict.fromkeys(floating(activity, sizes), Fraction(0)),
        **dict.fromkeys(small, mean),
        **dict.fromkeys(large, mean * (100 + activity.edge) / 100),
    }


TOLERATED = {"rather-even-teams": Fraction(1, 2), "even-teams": Fraction(0)}
"""How much of the tolerance is free under a preference, where it is not all of it."""


def steps(problem: Problem, spec: RoundSpec) -> dict[str, int]:
    """The ratings of those who take part, as whole steps above the lowest of them, or above 0 where totals count."""
    unit, lowest = _unit(problem, spec)
    return {student: round((_exact(problem, spec, student) - lowest) / unit) for student in spec.students}


def _unit(problem: Problem, spec: RoundSpec) -> tuple[Fraction, Fraction]:
    """The size of a step, and the rating that has none."""
    ratings = [_exact(problem, spec, student) for student in spec.students]
    lowest = Fraction(0) if spec.activity.sides else min(ratings)
    thousandths = gcd(*(round(1000 * (rating - lowest)) for rating in ratings)) or 1
    return max(Fraction(thousandths, 1000), _span(problem, spec) / FINEST), lowest


def _exact(problem: Problem, spec: RoundSpec, student: str) -> Fraction:
    return Fraction(round(1000 * problem.roster.rating(student, spec.activity.strand)), 1000)


def _span(problem: Problem, spec: RoundSpec) -> Fraction:
    return Fraction(round(1000 * problem.roster.span(spec.activity.strand)), 1000)


def range_in_steps(problem: Problem, spec: RoundSpec) -> Fraction:
    """The range of the strand, in the steps that ratings are counted in; at least 1."""
    unit, _ = _unit(problem, spec)
    return max(Fraction(1), _span(problem, spec) / unit)


ALIKE_SHARE = 0.25
"""Two who differ by a quarter of the range at most (one step on 1 to 5) count as alike; common practice, no source."""


@dataclass(frozen=True)
class Similar(PairwiseRule):
    """Students of one group differ in the strand by a quarter of its range at most, or as little as can be."""

    key: str = "similar"
    sentence: str = "In groups for similar ability the members are as near to one another as can be."
    level: Level = Level.AIM

    def concerns(self, activity: Activity) -> bool:
        """Activities with the aim ``similar``."""
        return activity.aim == "similar"

    def gap_cost(self, gap: float, span: float) -> int:
        """Thousandths of the range by which the two differ too much."""
        return max(0, round(1000 * (gap - ALIKE_SHARE * span) / span)) if span else 0
