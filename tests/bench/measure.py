"""Time and quality of one plan, and how fast the machine is by a small loop."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from grouper.engines.bounds import bounds_of
from grouper.model.plan import Plan
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.planning.fairness import fairness_of
from grouper.planning.mending import board_for
from grouper.rules.referee import shape_faults

T = TypeVar("T")


@dataclass(frozen=True)
class Timed:
    """Seconds of one call: CPU time of this process, which other work on the machine hardly changes, and wall time."""

    cpu: float
    wall: float


def timed(call: Callable[[], T]) -> tuple[T, Timed]:
    """What a call gives, and how long it took."""
    wall, cpu = time.perf_counter(), time.process_time()
    given = call()
    return given, Timed(time.process_time() - cpu, time.perf_counter() - wall)


def calibration() -> float:
    """CPU seconds of a small loop of plain Python and numpy, the median of five: to compare machines by."""
    return statistics.median(timed(_loop)[1].cpu for _ in range(5))


def _loop() -> float:
    total = 0
    for number in range(1_000_000):
        total += number & 7
    matrix = np.arange(900.0).reshape(30, 30)
    for _ in range(10_000):
        matrix = np.maximum(matrix.T * 0.5, 1.0)
    return total + float(matrix.sum())


@dataclass(frozen=True)
class Quality:
    """A plan as its reader sees it: breaches, repeats beside their bound, and the widest spread of team averages."""

    breaches: int
    repeats: int
    bound: int
    meeting_cost: int
    spread: float | None


def quality_of(record: ClassRecord, plan: Plan) -> Quality:
    """Measure a plan; the spread is None where no round is balanced.

    Raises
    ------
    ValueError
        It is no plan for this unit: somebody is missing or twice, or groups have other sizes than wanted.
    """
    faults = shape_faults(problem_of(record), plan)
    if faults:
        raise ValueError("; ".join(faults))
    fair = fairness_of(replace(record, plan=plan))
    spread = max((item.spread for item in fair.spreads), default=None)
    bounds = bounds_of(board_for(problem_of(record)))
    return Quality(len(fair.breaches), fair.repeats, bounds.repeats, fair.meeting_cost, spread)
