"""What a quick word on a group's task says about the group: too easy, right, too hard, or successes of attempts.

A group succeeds in an attempt with the chance logistic(s + k (ability - demand)): its members' average ability against
what the task asks, as in Rasch (1960, Probabilistic Models for Some Intelligence and Attainment Tests; from memory).
Where the two are level the chance is the share of success that the teacher wants. What the task asks is not known
either: it is expected where the average of the groups lies that worked at it, and learnt along with the abilities, so
that a task that was too hard for all says nothing against anybody. Where groups had different settings of the levers,
these add to the demand (Fischer 1973, the linear logistic test model), and what each adds is learnt too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import exp, log

from grouper.learning.about import strand_of
from grouper.learning.evidence import Ability, Demand, Prior, Rise, Trial, Unknown
from grouper.learning.guesses import Guesses
from grouper.learning.team_model import worth
from grouper.model.levers import At
from grouper.model.noted import TaskResult
from grouper.words import folded

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


RISE = log(2)
"""A setting of a lever halves the odds of the one before it: three of four at one are six of ten at the next. An
assumption of ours, where nothing was seen yet."""

RISE_SPREAD = 0.6
"""How far off that may be (standard deviation, in logits): some settings change hardly anything, others a lot."""


def settings_weights(counts: At, at: At, activity: str = "") -> dict[Unknown, float]:
    """By how much each rise from a setting to the next adds to what a task asks, half way between the ends being 0.

    ``counts`` is how many settings each lever has, ``at`` the task; a lever that was not in play adds nothing.
    """
    if len(counts) != len(at):
        return {}
    return {
        Rise(activity, lever, step): 0.5 if step < place else -0.5
        for lever, (place, count) in enumerate(zip(at, counts, strict=True))
        if place
        for step in range(1, count)
    }


@dataclass(frozen=True)
class Tap:
    """What was seen of a group at a task, and what the settings of that added to it."""

    result: TaskResult
    members: tuple[Ability, ...]
    rises: Mapping[Unknown, float] = field(default_factory=dict)

    @property
    def demand(self) -> Demand:
        """The activity that the group worked at."""
        return Demand(self.result.key.lesson, self.result.key.activity)


def taps_about(guesses: Guesses) -> Iterator[Tap]:
    """What was seen of tasks of the strand, in the order of play."""
    record = guesses.record
    for result in record.results:
        if not result.tells_of_ability:
            continue
        if result.key in record.unit.keys and strand_of(record, result.key) == guesses.strand:
            members = record.plan.members(result.key, result.label)
            abilities = tuple(guesses.ability(member, result.key.lesson) for member in members)
            if abilities:
                name = record.unit.activity(result.key).name
                challenge = record.challenge(name)
                rises = settings_weights(challenge.counts, result.at, folded(name)) if challenge else {}
                yield Tap(result, abilities, rises)


def demands(guesses: Guesses, taps: Sequence[Tap]) -> dict[Unknown, Prior]:
    """What each task is held to ask before anything is known of it."""
    step = guesses.scale.step
    groups: dict[Demand, list[float]] = {}
    found: dict[Unknown, Prior] = {}
    for tap in taps:
        found.update(dict.fromkeys(tap.rises, Prior(RISE, RISE_SPREAD)))
        # What the settings are held to add is no part of what the activity asks by itself.
        added = RISE * sum(tap.rises.values()) * step / LOGIT_PER_STEP
        mean = _average(guesses.prior(member).mean for member in tap.members)
        groups.setdefault(tap.demand, []).append(mean - added)
    return {task: Prior(_average(means), DEMAND_SPREAD * step) for task, means in groups.items()} | found


def _average(values: Iterable[float]) -> float:
    listed = list(values)
    return sum(listed) / len(listed)


def trials_of_taps(taps: Iterable[Tap], step: float, success: float) -> list[Trial]:
    """Taps as evidence; ``success`` is the share of attempts that the teacher wants to succeed."""
    slope, wanted = LOGIT_PER_STEP / step, log(success / (1 - success))
    trials = []
    for tap in taps:
        weights: dict[Unknown, float] = {member: slope / len(tap.members) for member in tap.members}
        weights[tap.demand] = -slope
        weights.update({rise: -each for rise, each in tap.rises.items()})
        result = tap.result
        if result.felt:
            share = 1 / (1 + exp(-(wanted + FELT_SHIFT[result.felt])))
            trials.append(Trial(weights, share, FELT_COUNT, wanted))
        if result.tries and result.hits is not None:
            count = worth(result.tries, LIKENESS_OF_ATTEMPTS)
            trials.append(Trial(weights, result.hits / result.tries, count, wanted))
    return trials
