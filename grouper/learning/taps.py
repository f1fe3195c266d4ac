"""What a quick word on a group's task says about the group: too easy, right, too hard, or successes of attempts.

A group succeeds in an attempt with the chance logistic(s + k (ability - demand)): its members' average ability against
what the task asks, as in Rasch (1960, Probabilistic Models for Some Intelligence and Attainment Tests; from memory).
Where the two are level the chance is the share of success that the teacher wants. What the task asks is not known
either: it is expected where the average of the groups lies that worked at it, and learnt along with the abilities, so
that a task that was too hard for all says nothing against anybody. Groups at one step of a ladder share a demand.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import exp, log

from grouper.learning.about import strand_of
from grouper.learning.evidence import Ability, Demand, Prior, Trial, Unknown
from grouper.learning.guesses import Guesses
from grouper.learning.team_model import worth
from grouper.model.task_result import TaskResult

LOGIT_PER_STEP = 1.0
"""A group whose average is a step above what the task asks has odds of success e = 2.7 times those wanted."""

FELT_SHIFT = {"easy": 1.5, "right": 0.0, "hard": -1.5}
"""How far the share of success is from the one that is wanted, in logits: from 0.75 to 0.93 or to 0.40."""

FELT_COUNT = 3.0
"""A quick word counts as so many attempts: less than two games."""

LIKENESS_OF_ATTEMPTS = 0.15
"""Attempts of one group at one task are alike; a hundred count as six (see ``team_model.worth``)."""

DEMAND_SPREAD = 1.0
"""How far a task's demand may be from the average of those who worked at it, in steps of the scale."""


@dataclass(frozen=True)
class Tap:
    """What was seen of a group at a task."""

    result: TaskResult
    members: tuple[Ability, ...]

    @property
    def demand(self) -> Demand:
        """The task that the group worked at."""
        return Demand(self.result.key.lesson, self.result.key.activity, self.result.step)


def taps_about(guesses: Guesses) -> Iterator[Tap]:
    """What was seen of tasks of the strand, in the order of play."""
    record = guesses.record
    for result in record.results:
        round_ = record.plan.by_key.get(result.key)
        if round_ and result.key in record.unit.keys and strand_of(record, result.key) == guesses.strand:
            members = (m for group in round_.groups if group.label == result.label for m in group.members)
            abilities = tuple(guesses.ability(member, result.key.lesson) for member in members)
            if abilities:
                yield Tap(result, abilities)


def demands(guesses: Guesses, taps: Sequence[Tap]) -> dict[Unknown, Prior]:
    """What each task is held to ask before anything is known of it."""
    groups: dict[Demand, list[float]] = {}
    for tap in taps:
        groups.setdefault(tap.demand, []).append(_average(guesses.prior(member).mean for member in tap.members))
    return {task: Prior(_average(means), DEMAND_SPREAD * guesses.scale.step) for task, means in groups.items()}


def _average(values: Iterable[float]) -> float:
    listed = list(values)
    return sum(listed) / len(listed)


def trials_of_taps(taps: Iterable[Tap], step: float, success: float) -> list[Trial]:
    """Taps as evidence; ``success`` is the share of attempts that the teacher wants to succeed."""
    return [trial for tap in taps for trial in _trials(tap, step, log(success / (1 - success)))]


def _trials(tap: Tap, step: float, wanted: float) -> Iterator[Trial]:
    slope = LOGIT_PER_STEP / step
    weights: dict[Unknown, float] = {member: slope / len(tap.members) for member in tap.members}
    weights[tap.demand] = -slope
    result = tap.result
    if result.felt:
        yield Trial(weights, _chance(wanted + FELT_SHIFT[result.felt]), FELT_COUNT, wanted)
    if result.tries and result.hits is not None:
        yield Trial(weights, result.hits / result.tries, worth(result.tries, LIKENESS_OF_ATTEMPTS), wanted)


def _chance(logit: float) -> float:
    return 1 / (1 + exp(-logit))
