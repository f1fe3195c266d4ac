"""The trio of an odd class: everybody's turn before anybody's second."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import comb

from grouper.model.plan import Plan, Round
from grouper.model.problem import Problem
from grouper.model.unit import Activity
from grouper.rules.preference import Level
from grouper.rules.rule import Breach
from grouper.rules.terms import Term, Turns

TRIO = 3


@dataclass(frozen=True)
class TrioTurns:
    """In an odd class working in pairs, turns in the trio are shared out."""

    key: str = "trio turns"
    sentence: str = "In an odd class turns in the trio are shared out evenly."
    level: Level = Level.TURNS

    def breaches(self, problem: Problem, plan: Plan) -> list[Breach]:
        """None: the rule only has a cost."""
        return []

    def cost(self, problem: Problem, plan: Plan) -> int:
        """The sum over all students of C(t, 2), t their turns in a trio, and t for each turn in earlier units."""
        rounds = [round_ for round_ in plan.rounds if works_in_pairs(problem, round_)]
        before = problem.earlier.trio
        return sum(comb(turns, 2) + turns * before.get(who, 0) for who, turns in trio_turns(rounds).items())

    def terms(self, problem: Problem) -> Iterator[Term]:
        """One over all rounds in pairs."""
        keys = tuple(need.key for need in problem.needs if _shaped_by(problem, need.key).in_pairs)
        if keys:
            yield Turns(keys, TRIO, self.level, problem.earlier.trio)


def works_in_pairs(problem: Problem, round_: Round) -> bool:
    """Whether a round is one of pairs, so that a group of three is a trio and not a team of three."""
    return _shaped_by(problem, round_.key).in_pairs


def trio_turns(rounds: Iterable[Round]) -> Counter[str]:
    """How often each student was in a group of three, over rounds in pairs."""
    return Counter(
        student
        for round_ in rounds
        for group in round_.groups
        if len(group.members) == TRIO
        for student in group.members
    )


def _shaped_by(problem: Problem, key: object) -> Activity:
    need = problem.by_key[key]  # type: ignore[index]
    return need.activity if need.leader is None else problem.by_key[need.leader].activity
