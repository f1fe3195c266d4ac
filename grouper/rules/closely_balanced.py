"""Even teams, evener still: within the tolerance itself, where that costs no new partner."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.model.plan import Plan
from grouper.model.problem import Need, Problem
from grouper.rules.balanced import class_average, range_in_steps, steps, windows_cost, within_tolerance
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import EvenTotals, Term, Window


@dataclass(frozen=True)
class CloselyBalanced:
    """Team averages lie within half the tolerance of the class average, so that no two differ by more than it.

    The rule ``balanced`` rounds the tolerance up to what totals of a team can be; this one does not, and counts little.
    """

    key: str = "closely balanced"
    sentence: str = "Where it costs nothing, the averages of balanced teams differ by less than the tolerance."
    level: Level = Level.CLOSER

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """Over all balanced rounds and teams: hundredths of the range that the average lies outside."""
        return windows_cost(problem, plan, close_windows)

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The window for the total of a team of each size."""
        for need in problem.needs:
            if need.activity.aim == "balanced" and need.students:
                yield EvenTotals((need.key,), steps(problem, need), close_windows(problem, need), self.level)


def close_windows(problem: Problem, need: Need) -> tuple[Window, ...]:
    """For each size of team the totals within the tolerance; a step beyond costs hundredths of the range."""
    span, mean = range_in_steps(problem, need), class_average(problem, need)
    return tuple(
        within_tolerance(size, mean, span, max(1, round(100 / (size * span)))) for size in sorted(set(need.sizes))
    )
