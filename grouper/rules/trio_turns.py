"""The trio of an odd class: everybody's turn before anybody's second."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import comb, floor

from grouper.model.ledger import whole_turns
from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem, RoundSpec
from grouper.model.unit import RoundKey
from grouper.rules.rule import Preference
from grouper.rules.terms import Level, Term, Turns

TRIO = 3

ROUNDING = 1e-9


@dataclass(frozen=True)
class TrioTurns(Preference):
    """In an odd class working in pairs, turns in the trio are shared out, by how many each had the chance to have."""

    key: str = "trio turns"
    sentence: str = "In an odd class turns in the trio are shared out evenly."
    level: Level = Level.TURNS

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all students of C(t, 2), t their turns in a trio, and t for each turn that counts beforehand."""
        rounds = [round_ for round_ in plan.rounds if works_in_pairs(problem, round_)]
        before = whole_turns(turns_beforehand(problem))
        return sum(comb(turns, 2) + turns * before.get(who, 0) for who, turns in trio_turns(rounds).items())

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds in pairs."""
        keys = tuple(spec.key for spec in problem.rounds if problem.shaped_by(spec.key).in_pairs)
        if keys:
            yield Turns(keys, (frozenset({TRIO}),) * len(keys), self.level, whole_turns(turns_beforehand(problem)))


def works_in_pairs(problem: Problem, round_: Round) -> bool:
    """Whether a round is one of pairs, so that a group of three is a trio and not a team of three."""
    return problem.shaped_by(round_.key).in_pairs


def turns_beforehand(problem: Problem, before: RoundKey | None = None) -> dict[str, float]:
    """Turns in the trio that count for a student by themselves: those of earlier units, and for rounds that they miss.

    For a round of this unit in which a student takes no part they are counted the turns that each of the others has on
    average, so that who joins late, or was ill, need not make up for turns that they never could have had. With
    ``before`` only rounds before that one.
    """
    specs = [spec for spec in problem.rounds if problem.shaped_by(spec.key).in_pairs]
    asked = [spec for spec in specs if before is None or spec.key < before]
    return with_missed(problem.earlier.trio, ((spec, TRIO * spec.sizes.count(TRIO)) for spec in asked), specs)


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


def trio_turns(rounds: Iterable[Round]) -> Counter[str]:
    """How often each student was in a group of three, over rounds in pairs."""
    return Counter(
        student
        for round_ in rounds
        for group in round_.groups
        if len(group.members) == TRIO
        for student in group.members
    )
