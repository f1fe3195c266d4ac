"""Sides that differ on purpose: everybody's turn on the smaller side, or as floater, before anybody's second."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import comb

from grouper.model.ledger import whole_turns
from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.sides import floaters, sides_in
from grouper.model.unit import RoundKey, floating, large_and_small
from grouper.rules.rule import Preference
from grouper.rules.terms import Level, Term, Turns
from grouper.rules.trio_turns import with_missed


@dataclass(frozen=True)
class SideTurns(Preference):
    """Turns as floater, or else on a smaller side, are shared out, by how many each had the chance to have.

    Where smaller sides are to be as strong as larger ones the ratings say who is on them, and nobody has turns there.
    """

    key: str = "side turns"
    sentence: str = "Turns on the smaller side and as floater are shared out evenly."
    level: Level = Level.TURNS

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all students of C(t, 2), t their turns, and t for each turn that counts beforehand."""
        before = whole_turns(side_turns_beforehand(problem))
        turns = side_turns(problem, plan.rounds)
        return sum(comb(times, 2) + times * before.get(who, 0) for who, times in turns.items())

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds with such places."""
        places = {spec.key: special_sizes(problem, spec) for spec in problem.rounds}
        places = {key: sizes for key, sizes in places.items() if sizes}
        if places:
            before = whole_turns(side_turns_beforehand(problem))
            yield Turns(tuple(places), tuple(places.values()), self.level, before)


def special_sizes(problem: Problem, spec: RoundSpec) -> frozenset[int]:
    """The sizes of the groups of a round that are a turn: floaters, where there are any, or else smaller sides."""
    activity = problem.shaped_by(spec.key)
    if not activity.sides or not spec.sizes:
        return frozenset()
    if floaters(sides_in(activity.sides)):
        return floating(activity, spec.sizes)
    return frozenset() if activity.aim == "balanced" else large_and_small(activity, spec.sizes)[1]


def side_turns(problem: Problem, rounds: Iterable[Round]) -> Counter[str]:
    """How often each student was at such a place."""
    return Counter(
        student
        for round_ in rounds
        if (sizes := special_sizes(problem, problem.by_key[round_.key]))
        for group in round_.groups
        if len(group.members) in sizes
        for student in group.members
    )


def side_places(problem: Problem, spec: RoundSpec) -> int:
    """How many students have such a turn in a round."""
    sizes = special_sizes(problem, spec)
    return sum(size for size in spec.sizes if size in sizes)


def side_turns_beforehand(problem: Problem, before: RoundKey | None = None) -> dict[str, float]:
    """Turns of earlier units, and an average one for each round that a student misses, as for trios; with ``before`` of
    rounds before that one."""
    specs = [spec for spec in problem.rounds if side_places(problem, spec)]
    asked = [spec for spec in specs if before is None or spec.key < before]
    return with_missed(problem.earlier.side, ((spec, side_places(problem, spec)) for spec in asked), specs)
