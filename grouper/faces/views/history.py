"""What happened before a round or a lesson: who met whom, and who had which turn."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from grouper.model.ledger import Ledger, ledger_of
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.rules.trio_turns import trio_turns, works_in_pairs


@dataclass(frozen=True)
class TurnsBefore:
    """Turns in the trio of an odd class, and as coach, in the lessons before one; by id."""

    trio: Counter[str]
    coach: Counter[str]


def turns_before(record: ClassRecord, lesson: int) -> TurnsBefore:
    """The turns that everybody has had before a lesson."""
    problem = problem_of(record)
    rounds = [round_ for round_ in record.plan.rounds if round_.key.lesson < lesson and round_.key in problem.by_key]
    in_pairs = [round_ for round_ in rounds if works_in_pairs(problem, round_)]
    return TurnsBefore(trio_turns(in_pairs), ledger_of(rounds).coach_turns)


def ledger_before(record: ClassRecord, key: RoundKey) -> Ledger:
    """Who has met whom before a round, in the order of play."""
    return ledger_of(round_ for round_ in record.plan.rounds if round_.key < key)
