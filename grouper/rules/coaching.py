"""Coaching pairs: the two differ in ability by no less and no more than was asked for, and by how much else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.unit import Activity
from grouper.rules.pairs import GapCost, PairwiseRule, gaps_of, pairs_of, rounds_alike
from grouper.rules.rule import Breach, Preference
from grouper.rules.terms import EvenTotals, Level, PairCost, Term, Window
from grouper.rules.together import together_in

ROUNDING = 1e-9

PAIR = 2

AS_PAIR = 3
"""Outside of the window as a pair beside a trio: so much more than in it, where all three gaps may be outside."""


@dataclass(frozen=True)
class Coaching:
    """The gap in the strand of a coaching pair lies in the window; in a trio as many of the three gaps as can be.

    Where no window was given, nothing is a breach; a quarter of the range or more is then wished for by CoachingGap.
    """

    key: str = "coaching"
    sentence: str = "In coaching pairs the two differ in ability by no less and no more than was asked for."
    level: Level = Level.MUST

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """Each pair outside of the window; a trio is no breach."""
        return [
            Breach(self.key, round_.key, pair, _sentence(problem, spec, pair))
            for round_ in plan.rounds
            for spec in _coaching(problem, round_.key)
            for group in round_.groups
            if len(group.members) == PAIR
            for pair in group.pairs
            if not gap_fits(problem, spec.activity, pair)
        ]

    def cost(self, problem: Problem, plan: Plan) -> int:
        """How many two students in one group, in trios too, are outside of the window; as a pair beside a trio more.

        Else a search would gain by a pair outside that spares the trio, and no plan may have one.
        """
        return sum(
            gaps_of(problem, spec).total(round_.pairs, _outside(spec.activity))
            + AS_PAIR * gaps_of(problem, spec).total(_pairs_beside_larger(spec, round_), _outside(spec.activity))
            for round_ in plan.rounds
            for spec in _coaching(problem, round_.key)
        )

    def terms(self, problem: Problem) -> Iterator[Term]:
        """What two students outside of the window cost; one term for all rounds in which it is the same."""
        windows = (
            (spec.key, (gaps_of(problem, spec), spec.activity.min_gap, spec.activity.max_gap))
            for spec in problem.rounds
            if spec.activity.aim == "coaching"
        )
        for rounds, (gaps, _, _) in rounds_alike(windows):
            costs = gaps.costs(_outside(problem.by_key[rounds[0]].activity))
            if costs:
                yield PairCost(rounds, costs, self.level)
            beside_larger = tuple(key for key in rounds if _mixed(problem.by_key[key]))
            if costs and beside_larger:
                dearer = {pair: AS_PAIR * cost for pair, cost in costs.items()}
                yield PairCost(beside_larger, dearer, self.level, as_pair=True)


def gap(problem: Problem, activity: Activity, pair: tuple[str, str]) -> float:
    """By how much two students differ in the activity's strand."""
    one, other = (problem.roster.rating(student, activity.strand) for student in pair)
    return abs(one - other)


def gap_fits(problem: Problem, activity: Activity, pair: tuple[str, str]) -> bool:
    """Whether the gap of two students lies in the activity's window; an open end has no limit."""
    return not _outside(activity)(gap(problem, activity, pair), 0.0)


def _outside(activity: Activity) -> GapCost:
    """1 for a gap outside of the activity's window, else 0."""
    low = 0.0 if activity.min_gap is None else activity.min_gap
    high = float("inf") if activity.max_gap is None else activity.max_gap
    # The difference of two decimal ratings, such as 4.3 and 3.3, is a hair beside the one that was asked for.
    return lambda gap, span: int(not low - ROUNDING <= gap <= high + ROUNDING)


def _mixed(spec: RoundSpec) -> bool:
    """Whether a round has pairs beside larger groups."""
    return PAIR in spec.sizes and max(spec.sizes) > PAIR


def _pairs_beside_larger(spec: RoundSpec, round_: Round) -> Iterator[tuple[str, str]]:
    return (pair for group in round_.groups if _mixed(spec) and len(group.members) == PAIR for pair in group.pairs)


def _coaching(problem: Problem, key: object) -> Iterator[RoundSpec]:
    spec = problem.by_key[key]  # type: ignore[index]
    if spec.activity.aim == "coaching":
        yield spec


def _sentence(problem: Problem, spec: RoundSpec, pair: tuple[str, str]) -> str:
    one, other = (problem.roster.name(student) for student in pair)
    apart_by = gap(problem, spec.activity, pair)
    window = window_in_words(spec.activity)
    return f"lesson {spec.key.lesson}, {spec.activity.name}: {one} and {other} differ by {apart_by:g}, not by {window}"


def window_in_words(activity: Activity) -> str:
    """The window for a person: '1 to 2', '1 or more', 'at most 2'."""
    if activity.min_gap is None and activity.max_gap is None:
        return "anything"
    if activity.max_gap is None:
        return f"{activity.min_gap:g} or more"
    if activity.min_gap == activity.max_gap:
        return f"exactly {activity.max_gap:g}"
    return f"at most {activity.max_gap:g}" if not activity.min_gap else f"{activity.min_gap:g} to {activity.max_gap:g}"


USUAL_SHARE = 0.25
"""A quarter of the range (one step on 1 to 5) is across abilities; common practice, no source."""


@dataclass(frozen=True)
class CoachingGap(PairwiseRule):
    """Where a coaching activity has no window, the two differ by a quarter of the strand's range or more."""

    key: str = "coaching gap"
    sentence: str = "In coaching pairs without a window the two differ by at least a quarter of the range."
    level: Level = Level.AIM

    def concerns(self, activity: Activity) -> bool:
        """Coaching activities without a window."""
        return activity.aim == "coaching" and activity.min_gap is None and activity.max_gap is None

    def gap_cost(self, gap: float, span: float) -> int:
        """Thousandths of the range by which the pair is too much alike."""
        return max(0, round(1000 * (USUAL_SHARE * span - gap) / span)) if span else 0


BESIDE_TRIO = 3
"""For each of them who works in a pair: as much as all gaps of a trio, so that parting them never pays."""


@dataclass(frozen=True)
class CoachingTogether(Preference):
    """Two who are to be together, and whose gap lies outside of the window, share a group that is larger than a pair.

    The request asks for one group and the window bars the pair, so that in an odd class only the trio is left. Together
    and the window by themselves would price the two alike, parted or in the trio: this price tells them apart.
    """

    key: str = "coaching together"
    sentence: str = "Two who are to be together and cannot be a coaching pair work in the trio."
    level: Level = Level.MUST

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The price for each of such students who works in a pair, in every coaching round that has larger groups."""
        bound = {spec.key: bound_to_trio(problem, spec) for spec in problem.rounds}
        return BESIDE_TRIO * sum(_in_pairs(round_, bound[round_.key]) for round_ in plan.rounds)

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
    return tuple(Window(size, 0, 0 if size == PAIR else size, BESIDE_TRIO) for size in sorted(set(spec.sizes)))
