"""Special places: everybody's turn in the trio of an odd class, or on a smaller side, before a second one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import comb, floor

from grouper.model.ledger import EarlierUnits, whole_turns
from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.sides import floaters, sides_in
from grouper.model.unit import RoundKey, floating, large_and_small
from grouper.rules.rule import Preference
from grouper.rules.terms import Level, Term, Turns

TRIO = 3

ROUNDING = 1e-9

Sizes = Callable[[Problem, RoundSpec], frozenset[int]]


@dataclass(frozen=True)
class PlaceTurns(Preference):
    """Turns in a special place are shared out, by how many each had the chance to have.

    Parameters
    ----------
    key, sentence
        What the rule is called, and what it wants.
    sizes
        The sizes of the groups of a round that are such a turn; none in a round without them.
    earlier
        The turns of earlier units.
    with_idle
        Whether those are compared too who are only in rounds that could have such a place and have none.
    """

    key: str
    sentence: str
    sizes: Sizes
    earlier: Callable[[EarlierUnits], Mapping[str, float]]
    with_idle: bool = False
    level: Level = Level.TURNS

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all students of C(t, 2), t their turns, and t for each turn that counts beforehand."""
        before = whole_turns(self.beforehand(problem))
        turns = self.turns(problem, plan.rounds)
        return sum(comb(times, 2) + times * before.get(who, 0) for who, times in turns.items())

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds that can have such places."""
        places = {spec.key: sizes for spec in problem.rounds if (sizes := self.sizes(problem, spec))}
        if places:
            before = whole_turns(self.beforehand(problem))
            yield Turns(tuple(places), tuple(places.values()), self.level, before)

    def turns(self, problem: Problem, rounds: Iterable[Round]) -> Counter[str]:
        """How often each student was at such a place."""
        return Counter(
            student
            for round_ in rounds
            if (sizes := self.sizes(problem, problem.by_key[round_.key]))
            for group in round_.groups
            if len(group.members) in sizes
            for student in group.members
        )

    def places(self, problem: Problem, spec: RoundSpec) -> int:
        """How many students have such a turn in a round."""
        sizes = self.sizes(problem, spec)
        return sum(size for size in spec.sizes if size in sizes)

    def beforehand(self, problem: Problem, before: RoundKey | None = None) -> dict[str, float]:
        """Turns that count for a student by themselves: those of earlier units, and for rounds that they miss.

        For a round of this unit in which a student takes no part they are counted the turns that each of the others has
        on average, so that who joins late, or was ill, need not make up for turns that they never could have had. With
        ``before`` only rounds before that one.
        """
        specs = [s for s in problem.rounds if self.places(problem, s) or (self.with_idle and self.sizes(problem, s))]
        asked = [spec for spec in specs if before is None or spec.key < before]
        return with_missed(self.earlier(problem.earlier), ((s, self.places(problem, s)) for s in asked), specs)


def trio_sizes(problem: Problem, spec: RoundSpec) -> frozenset[int]:
    """Three, in a round of pairs: elsewhere a group of three is a team of three."""
    return frozenset({TRIO}) if problem.shaped_by(spec.key).in_pairs else frozenset()


def special_sizes(problem: Problem, spec: RoundSpec) -> frozenset[int]:
    """Of sides that differ on purpose: floaters, where there are any, or else smaller sides.

    Where smaller sides are to be as strong as larger ones the ratings say who is on them, and nobody has turns there.
    """
    activity = problem.shaped_by(spec.key)
    if not activity.sides or not spec.sizes:
        return frozenset()
    if floaters(sides_in(activity.sides)):
        return floating(activity, spec.sizes)
    return frozenset() if activity.aim == "balanced" else large_and_small(activity, spec.sizes)[1]


TRIO_TURNS = PlaceTurns(
    "trio turns",
    "In an odd class turns in the trio are shared out evenly.",
    trio_sizes,
    lambda earlier: earlier.trio,
    with_idle=True,
)
SIDE_TURNS = PlaceTurns(
    "side turns",
    "Turns on the smaller side and as floater are shared out evenly.",
    special_sizes,
    lambda earlier: earlier.side,
)


def with_missed(
    earlier: Mapping[str, float], turns: Iterable[tuple[RoundSpec, int]], among: Iterable[RoundSpec]
) -> dict[str, float]:
    """Earlier turns, and those that students of ``among`` missed of some rounds with so many turns, in whole ones.

    Who was away for a day has missed less than a turn, and is counted none.
    """
    missed: dict[str, float] = {}
    everybody = {student for spec in among for student in spec.students}
    for spec, places in turns:
        for student in everybody.difference(spec.students) if places else ():
            missed[student] = missed.get(student, 0.0) + places / len(spec.students)
    counted = dict(earlier)
    for student, turns_missed in missed.items():
        # Three thirds of a turn add up to a hair less than one.
        counted[student] = counted.get(student, 0.0) + floor(turns_missed + ROUNDING)
    return counted
