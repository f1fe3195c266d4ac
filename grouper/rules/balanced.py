"""Even teams: the averages of a round's teams differ by an eighth of the strand's range at most."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd

from grouper.model.plan import Plan, Round
from grouper.model.problem import Need, Problem
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import EvenTotals, Term, Window

TOLERANCE = Fraction(1, 8)
"""Of the strand's range: half a step on 1 to 5."""

FINEST = 400
"""Ratings finer than the range divided by this are rounded to it: far below anything that evens a team."""


@dataclass(frozen=True)
class Balanced:
    """Team averages lie in one window an eighth of the range wide, the class average in its middle, or near to it.

    Under the preference ``even-teams`` the window has no width, so that teams are as even as can be.
    """

    key: str = "balanced"
    sentence: str = "The averages of balanced teams differ by an eighth of the range at most, or as little as can be."
    level: Level = Level.AIM

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """Over all balanced rounds and teams: thousandths of the range that the average lies outside of the window."""
        return windows_cost(problem, plan, windows)

    def terms(self, problem: Problem) -> Iterator[Term]:
        """The window for the total of a team of each size."""
        for need in problem.needs:
            if need.activity.aim == "balanced" and need.students:
                yield EvenTotals((need.key,), steps(problem, need), windows(problem, need), self.level)


def windows_cost(problem: Problem, plan: Plan, windows_of: Callable[[Problem, Need], tuple[Window, ...]]) -> int:
    """What the teams of all balanced rounds cost whose totals lie outside of their windows."""
    balanced = [round_ for round_ in plan.rounds if problem.by_key[round_.key].activity.aim == "balanced"]
    return sum(_round_cost(problem, round_, windows_of) for round_ in balanced)


def _round_cost(
    problem: Problem, round_: Round, windows_of: Callable[[Problem, Need], tuple[Window, ...]]
) -> int:
    need = problem.by_key[round_.key]
    if not need.students:
        return 0
    values = steps(problem, need)
    by_size = {window.size: window for window in windows_of(problem, need)}
    return sum(
        by_size[len(group.members)].cost(sum(values[student] for student in group.members))
        for group in round_.groups
    )


def steps(problem: Problem, need: Need) -> dict[str, int]:
    """The ratings of those who take part, as whole steps above the lowest rating of the class."""
    unit, lowest = _unit(problem, need)
    return {student: round((_exact(problem, need, student) - lowest) / unit) for student in need.students}


def _unit(problem: Problem, need: Need) -> tuple[Fraction, Fraction]:
    """The size of a step, and the lowest rating."""
    ratings = [_exact(problem, need, student) for student in need.students]
    lowest = min(ratings)
    thousandths = gcd(*(round(1000 * (rating - lowest)) for rating in ratings)) or 1
    return max(Fraction(thousandths, 1000), _span(problem, need) / FINEST), lowest


def _exact(problem: Problem, need: Need, student: str) -> Fraction:
    return Fraction(round(1000 * problem.roster.rating(student, need.activity.strand)), 1000)


def _span(problem: Problem, need: Need) -> Fraction:
    return Fraction(round(1000 * problem.roster.span(need.activity.strand)), 1000)


def windows(problem: Problem, need: Need) -> tuple[Window, ...]:
    """For each size of team: which totals are even enough, and what a step beyond costs.

    An average moves in steps of 1/size, so the tolerance is rounded up to a whole step of the total; the window lies
    with the class average in its middle.
    """
    span, mean = range_in_steps(problem, need), class_average(problem, need)
    width = Fraction(0) if problem.settings.prefer == "even-teams" else span * TOLERANCE
    return tuple(_window(size, mean, width, span) for size in sorted(set(need.sizes)))


def range_in_steps(problem: Problem, need: Need) -> Fraction:
    """The range of the strand, in the steps that ratings are counted in; at least 1."""
    unit, _ = _unit(problem, need)
    return max(Fraction(1), _span(problem, need) / unit)


def class_average(problem: Problem, need: Need) -> Fraction:
    """The average of those who take part, in steps."""
    values = steps(problem, need).values()
    return Fraction(sum(values), len(values))


def _window(size: int, mean: Fraction, width: Fraction, span: Fraction) -> Window:
    cost = max(1, round(1000 / (size * span)))
    steps_wide = ceil(width * size)
    if steps_wide == 0:
        return Window(size, floor(mean * size), ceil(mean * size), cost)
    low = round(mean * size - Fraction(steps_wide, 2))
    return Window(size, low, low + steps_wide, cost)
