"""How likely a group succeeds at a task: its ability less what each lever's setting adds, learnt from what is seen.

An attempt succeeds with the chance logistic(ability of the group - sum over the levers), the linear logistic test model
of Fischer (1973, The linear logistic test model as an instrument in educational research, Acta Psychologica 37:359-374;
the paper was not read). A group is as able as its members are on average. Before anything is seen each setting halves
the odds of the one before it, give or take; what is seen of a class then tells by how much its settings really do. All
that is unknown has a Gaussian prior, so that the posterior of ``grouper.learning.posterior`` serves: what is most
likely, and how sure that is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from grouper.learning.evidence import Ability, Demand, Prior, Rise, Trial, Unknown
from grouper.learning.posterior import Posterior, posterior_of
from grouper.learning.taps import RISE, RISE_SPREAD, settings_weights
from grouper.learning.team_model import worth
from grouper.model.levers import At, Challenge
from grouper.model.noted import TaskResult
from grouper.model.roster import Roster

Array = NDArray[np.float64]

CLASS_SPREAD = 5 * RISE
"""From the lowest rating of a class to the highest: as much as five settings, where the levers have as many."""

USUAL_SUCCESS = 0.75
"""So many attempts of the middle of the class succeed with all levers in their middle (rule of thumb)."""

GUESS_SPREAD, UNRATED_SPREAD = 1 / 4, 3 / 8
"""How far a rating may be off, in shares of the class's range: a step of a scale from 1 to 5, as for ratings."""

DEMAND_SPREAD = 0.7
"""How far the whole activity may be easier or harder than it looks, for everybody (standard deviation, in logits)."""

FADING = 0.85
"""What was seen a lesson ago counts so much: a class gets better at what it does."""

LIKENESS = 0.05
"""Attempts of a group at a task are alike, ten count as seven. For ratings they count less: there a single day is to
move a grown guess, here the task of tomorrow."""

WORD_WIDTH, WORD_SLOPE, WORD_COUNT = 0.7, 2.0, 1.3
"""A task is called right within so many logits of the success that is wanted (0.60 to 0.86 of 0.75), easy above and
hard below; how clearly it is called so; and how much a word counts. Chosen by simulation."""

_WORDS = {
    "easy": ((WORD_WIDTH, 1.0),),
    "right": ((-WORD_WIDTH, 1.0), (WORD_WIDTH, 0.0)),
    "hard": ((-WORD_WIDTH, 0.0),),
}
"""By word the thresholds that it speaks of, from the success that is wanted, and whether the group is above."""

GAIN_SPREAD, DRIFT_SPREAD = 0.2, 0.1
"""How much a class may get better or worse from lesson to lesson at its own steady pace, and how much beside it from
one lesson to the next, as after holidays (standard deviations, in logits)."""

_ACTIVITY, _GAIN = Demand(0, 0), Demand(0, 1)


@dataclass(frozen=True)
class Seen:
    """A result, the task that it was seen at, and those of the group at work then (ids)."""

    result: TaskResult
    at: At
    members: tuple[str, ...]


def logit(share: float) -> float:
    """The logarithm of the odds."""
    return log(share / (1 - share))


def chance(logit_: float) -> float:
    """The share that a logit stands for; ``logit`` the other way round."""
    return 1 / (1 + exp(-logit_))


def relative_rating(roster: Roster, strand: str, student: str) -> float:
    """A rating within the range of the class, from 0 for the lowest to 1 for the highest, 0.5 where nobody is rated."""
    ratings = [person.ratings[strand] for person in roster.active if strand in person.ratings]
    if not ratings or min(ratings) == max(ratings):
        return 0.5
    share = (roster.rating(student, strand) - min(ratings)) / (max(ratings) - min(ratings))
    return min(1.0, max(0.0, share))


@dataclass(frozen=True)
class Success:
    """What is known of a class at an activity: how able everybody is held to be, and what each setting adds.

    Parameters
    ----------
    roster, strand
        Who, and what their abilities are guessed from; an empty strand for nothing.
    challenge
        The activity's levers.
    wanted
        The share of attempts that should succeed.
    seen
        What was seen, in the order of play.
    lesson
        The lesson that it is worked out for: what was seen longer ago counts less.
    """

    roster: Roster
    strand: str
    challenge: Challenge
    wanted: float
    seen: tuple[Seen, ...] = ()
    lesson: int = 0

    @cached_property
    def spread(self) -> float:
        """From the least able of the class to the most, in logits."""
        return min(CLASS_SPREAD, RISE * sum(count - 1 for count in self.challenge.counts))

    def prior_of(self, student: str) -> Prior:
        """What is held of a student before anything was seen: the rating, and how far it may be off."""
        relative = relative_rating(self.roster, self.strand, student)
        person = self.roster.by_id.get(student)
        off = GUESS_SPREAD if person and self.strand in person.ratings else UNRATED_SPREAD
        # A short ladder tells the ends of a class apart by little; the doubt about anybody is no smaller for it.
        return Prior(logit(USUAL_SUCCESS) + (relative - 0.5) * self.spread, off * CLASS_SPREAD)

    @cached_property
    def _posterior(self) -> Posterior:
        people = dict.fromkeys(member for seen in self.seen for member in seen.members)
        priors: dict[Unknown, Prior] = {Ability(who): self.prior_of(who) for who in people}
        priors[_ACTIVITY] = Prior(0.0, DEMAND_SPREAD)
        priors[_GAIN] = Prior(0.0, GAIN_SPREAD)
        # All lessons have a step, also those beyond the last result: by then the class may be better, or out of it.
        last = max((seen.result.key.lesson for seen in self.seen), default=self.lesson)
        priors.update(dict.fromkeys(self._steps(max(last, self.lesson)), Prior(0.0, DRIFT_SPREAD)))
        for lever, count in enumerate(self.challenge.counts):
            priors.update({Rise("", lever, step): Prior(RISE, RISE_SPREAD) for step in range(1, count)})
        return posterior_of(priors, [trial for seen in self.seen for trial in self._trials(seen)])

    @cached_property
    def _first(self) -> int:
        """The first lesson of which anything was seen, from which it is reckoned how far the class has come."""
        return min((seen.result.key.lesson for seen in self.seen), default=self.lesson)

    def _steps(self, lesson: int) -> list[Unknown]:
        """What came and went of the whole class from one lesson to the next, up to this one."""
        return [Demand(each, 1) for each in range(self._first + 1, lesson + 1)]

    def _come_so_far(self, lesson: int) -> dict[Unknown, float]:
        """By how much the whole class is better in a lesson than in the first one, out of all that is unknown."""
        return {_GAIN: float(max(0, lesson - self._first)), **dict.fromkeys(self._steps(lesson), 1.0)}

    def _trials(self, seen: Seen) -> Iterator[Trial]:
        weights: dict[Unknown, float] = {Ability(who): 1 / len(seen.members) for who in seen.members}
        weights[_ACTIVITY] = -1.0
        weights.update(self._come_so_far(seen.result.key.lesson))
        weights.update({rise: -each for rise, each in settings_weights(self.challenge.counts, seen.at).items()})
        result, fading = seen.result, FADING ** max(0, self.lesson - seen.result.key.lesson)
        if result.tries and result.hits is not None:
            count = worth(result.tries, LIKENESS)
            yield Trial(weights, result.hits / result.tries, fading * count)
        elif result.felt:
            yield from self._word(weights, result.felt, fading)

    def _word(self, weights: Mapping[Unknown, float], felt: str, fading: float) -> Iterator[Trial]:
        """A quick word says on which side of two thresholds the group is, and no share: 'easy' may be 9 of 10 or all.

        That is an ordered logit (McCullagh 1980, Regression models for ordinal data, JRSS B 42:109-142; from memory):
        the chance to be between two thresholds is that to be above the one times that to be below the other, but for a
        factor that hangs on how far apart they are and on nothing else.
        """
        steeper = {unknown: WORD_SLOPE * weight for unknown, weight in weights.items()}
        for threshold, passed in _WORDS[felt]:
            offset = -WORD_SLOPE * (logit(self.wanted) + threshold)
            yield Trial(steeper, passed, fading * WORD_COUNT, offset)

    def expect(self, members: Sequence[str], ats: Sequence[At]) -> tuple[Array, Array]:
        """The logit of a group's success at each of some tasks, and how far it may be off (standard deviation)."""
        means, variances, crossed = self._tasks(tuple(ats))
        posterior, row = self._posterior, np.zeros(len(self._places))
        mean, variance = 0.0, 0.0
        for member in members:
            if Ability(member) in self._places:
                row[self._places[Ability(member)]] += 1 / len(members)
            # Of whom nothing was seen, there is no more than the guess, and it hangs together with nothing else.
            else:
                prior = self.prior_of(member)
                mean += prior.mean / len(members)
                variance += (prior.spread / len(members)) ** 2
        own = row @ posterior.values + mean
        total = variances + 2 * crossed @ row + row @ posterior.covariance @ row + variance
        return np.asarray(means + own), np.sqrt(total)

    def _tasks(self, ats: tuple[At, ...]) -> tuple[Array, Array, Array]:
        """Of tasks alone: mean and variance of what they take off, and how that goes with all that is unknown."""
        if ats not in self._known_tasks:
            posterior, place = self._posterior, self._places
            rows = np.zeros((len(ats), len(place)))
            rows[:, place[_ACTIVITY]] = -1.0
            for unknown, weight in self._come_so_far(self.lesson).items():
                rows[:, place[unknown]] = weight
            for row, at in zip(rows, ats, strict=True):
                for rise, weight in settings_weights(self.challenge.counts, at).items():
                    row[place[rise]] = -weight
            crossed = rows @ posterior.covariance
            self._known_tasks[ats] = rows @ posterior.values, (crossed * rows).sum(axis=1), crossed
        return self._known_tasks[ats]

    @cached_property
    def _known_tasks(self) -> dict[tuple[At, ...], tuple[Array, Array, Array]]:
        return {}

    @cached_property
    def _places(self) -> Mapping[Unknown, int]:
        return {unknown: number for number, unknown in enumerate(self._posterior.unknowns)}

    def share(self, members: Sequence[str], at: At) -> float:
        """The share of attempts that should succeed, as far as is known."""
        means, spreads = self.expect(members, [at])
        return chance(shrunk(float(means[0]), float(spreads[0])))

    def effects(self) -> tuple[Effect, ...]:
        """How much each lever moves this class, from its easiest to its hardest setting; the strongest first."""
        found = [self._effect(lever) for lever in range(len(self.challenge.levers))]
        return tuple(sorted(found, key=lambda effect: (-effect.logits, effect.lever)))

    def _effect(self, lever: int) -> Effect:
        rises = [Rise("", lever, step) for step in range(1, self.challenge.counts[lever])]
        places = [self._places[rise] for rise in rises]
        variance = self._posterior.covariance[np.ix_(places, places)].sum()
        name = self.challenge.levers[lever].name
        return Effect(name, float(self._posterior.values[places].sum()), float(np.sqrt(variance)), self.clear(lever))

    def clear(self, lever: int) -> float:
        """How sure it is that no other lever moves this class more: the smallest chance over the others (0 to 1)."""
        own = self._total(lever)
        others = [self._total(other) for other in range(len(self.challenge.levers)) if other != lever]
        if not others:
            return 1.0
        # What two levers move is learnt from the same results, so that it is their difference that is sure or not.
        gaps = np.array([own - other for other in others])
        means = gaps @ self._posterior.values
        spreads = np.sqrt(np.einsum("ij,jk,ik->i", gaps, self._posterior.covariance, gaps))
        return min(normal(float(mean / spread)) for mean, spread in zip(means, spreads, strict=True))

    def _total(self, lever: int) -> Array:
        """What picks the whole rise of a lever out of all that is unknown."""
        row = np.zeros(len(self._posterior.unknowns))
        for step in range(1, self.challenge.counts[lever]):
            row[self._places[Rise("", lever, step)]] = 1.0
        return row

    def rises(self) -> Iterable[tuple[str, str, float, float]]:
        """Lever, setting, and how much harder it is than the one before in logits, with the standard deviation."""
        for number, lever in enumerate(self.challenge.levers):
            for step, setting in enumerate(lever.settings[1:], start=1):
                rise = Rise("", number, step)
                yield lever.name, setting.name, self._posterior.mean(rise), self._posterior.spread(rise)


@dataclass(frozen=True)
class Effect:
    """How much a lever moves a class: in logits from end to end, how far that may be off (standard deviation), and how
    sure it is that it moves the class most (0 to 1)."""

    lever: str
    logits: float
    spread: float
    most: float

    def drop(self, share: float) -> tuple[float, float, float]:
        """To which share of success the whole lever takes a group from this one: most likely, and at least and at most
        with 90 % (the easiest setting at ``share``)."""
        low, high = self.logits - 1.645 * self.spread, self.logits + 1.645 * self.spread
        return tuple(chance(logit(share) - moved) for moved in (self.logits, high, low))  # type: ignore[return-value]


def shrunk(mean: float, spread: float) -> float:
    """The logit of the expected share where a logit is not known exactly (MacKay 1992)."""
    return mean / sqrt(1 + pi / 8 * spread**2)


def normal(value: float) -> float:
    """The distribution function of the normal distribution."""
    from math import erfc

    return 0.5 * erfc(-value / sqrt(2))
