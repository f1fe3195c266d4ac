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
    """Team averages lie in a window an eighth of the range wide, the class average in its middle, or near to it.

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

    An average moves in steps of 1/size. Where all teams are of one size the tolerance is rounded up to a whole step of
    the total, as their averages could else hardly differ at all; teams of two sizes even one another out.
    """
    span, mean = range_in_steps(problem, need), class_average(problem, need)
    sizes = sorted(set(need.sizes))
    if problem.settings.prefer == "even-teams":
        return tuple(_nearest(size, mean, _price(size, span)) for size in sizes)
    if len(sizes) > 1:
        return tuple(within_tolerance(size, mean, span, _price(size, span)) for size in sizes)
    return (_rounded_up(sizes[0], mean, span),)


def _price(size: int, span: Fraction) -> int:
    """A step of the total, in thousandths of the range of the average."""
    return max(1, round(1000 / (size * span)))


def _nearest(size: int, mean: Fraction, price: int) -> Window:
    return Window(size, floor(mean * size), ceil(mean * size), price)


def within_tolerance(size: int, mean: Fraction, span: Fraction, price: int) -> Window:
    """Totals with averages within half the tolerance of the class average; the nearest ones where there are none."""
    low = ceil((mean - span * TOLERANCE / 2) * size)
    high = floor((mean + span * TOLERANCE / 2) * size)
    return Window(size, low, high, price) if low <= high else _nearest(size, mean, price)


def _rounded_up(size: int, mean: Fraction, span: Fraction) -> Window:
    """So many steps of the total as the tolerance takes, the class average in their middle."""
    wide = ceil(span * TOLERANCE * size)
    low = round(mean * size - Fraction(wide, 2))
    return Window(size, low, low + wide, _price(size, span))


def range_in_steps(problem: Problem, need: Need) -> Fraction:
    """The range of the strand, in the steps that ratings are counted in; at least 1."""
    unit, _ = _unit(problem, need)
    return max(Fraction(1), _span(problem, need) / unit)


def class_average(problem: Problem, need: Need) -> Fraction:
    """The average of those who take part, in steps."""
    values = steps(problem, need).values()
    return Fraction(sum(values), len(values))
