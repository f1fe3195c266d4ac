"""What planning answers: the record with its new plan, the referee's judgement, and what no plan can beat."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.engines.bounds import Bounds
from grouper.model.plan import Plan
from grouper.model.problem import Problem
from grouper.model.record import ClassRecord
from grouper.rules.referee import Judgement


@dataclass(frozen=True)
class Outcome:
    """A plan with its proof.

    Parameters
    ----------
    record
        The class with the plan in it.
    problem
        What was asked.
    judgement
        The referee's.
    bounds
        For the same rounds.
    engine
        Which engine made it.
    stopped
        Whether the search was stopped before its budget was used up.
    """

    record: ClassRecord
    problem: Problem
    judgement: Judgement
    bounds: Bounds
    engine: str
    stopped: bool = False

    @property
    def plan(self) -> Plan:
        """The plan of the whole unit."""
        return self.record.plan
