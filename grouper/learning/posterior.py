"""From guesses and evidence to what is most likely, and how sure that is.

A Gaussian prior and logistic trials make the negative log posterior convex, so that Newton's method finds its one
minimum; the inverse of the curvature there is the covariance (Laplace's approximation; MacKay 2003, Information Theory,
Inference and Learning Algorithms, chapter 27, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grouper.errors import OurBugError
from grouper.learning.evidence import Prior, Trial, Unknown

Array = NDArray[np.float64]

NEWTON_STEPS = 100
"""Some five are needed; the bound only keeps a fault from running for ever."""
ACCURACY = 1e-10
EXACT = 1e-13


@dataclass(frozen=True)
class Posterior:
    """What is held after the evidence: the most likely values of ``unknowns``, and their covariance."""

    unknowns: tuple[Unknown, ...]
    values: Array
    covariance: Array

    def mean(self, unknown: Unknown) -> float:
        """The most likely value."""
        return float(self.values[self.unknowns.index(unknown)])

    def spread(self, unknown: Unknown) -> float:
        """How far the truth may be off: the standard deviation."""
        place = self.unknowns.index(unknown)
        return float(np.sqrt(self.covariance[place, place]))


def posterior_of(priors: Mapping[Unknown, Prior], trials: Sequence[Trial]) -> Posterior:
    """The Gaussian that fits best around the most likely values, given independent priors.

    The cost is cubic in the unknowns: some milliseconds for a class.
    """
    unknowns = tuple(priors)
    place = {unknown: number for number, unknown in enumerate(unknowns)}
    rows = np.zeros((len(trials), len(unknowns)))
    for number, trial in enumerate(trials):
        for unknown, weight in trial.weights.items():
            rows[number, place[unknown]] = weight
    problem = _Problem(
        np.array([priors[unknown].mean for unknown in unknowns]),
        np.array([priors[unknown].spread ** -2 for unknown in unknowns]),
        rows,
        np.array([trial.offset for trial in trials]),
        np.array([trial.share for trial in trials]),
        np.array([trial.count for trial in trials]),
    )
    values = problem.most_likely()
    covariance = np.linalg.inv(problem.curvature(values)).astype(np.float64)
    return Posterior(unknowns, values, covariance)


@dataclass(frozen=True)
class _Problem:
    """The negative log posterior: ``rows`` is trials x unknowns, the others are one number a trial or an unknown."""

    guess: Array
    precision: Array
    rows: Array
    offset: Array
    share: Array
    count: Array

    def loss(self, values: Array) -> float:
        logits = self.offset + self.rows @ values
        seen = self.count * (np.logaddexp(0, logits) - self.share * logits)
        return float(seen.sum() + 0.5 * (self.precision * (values - self.guess) ** 2).sum())

    def slope(self, values: Array) -> Array:
        surplus = self.count * (self._chance(values) - self.share)
        return np.asarray(self.rows.T @ surplus + self.precision * (values - self.guess))

    def curvature(self, values: Array) -> Array:
        chance = self._chance(values)
        scaled = self.rows * (self.count * chance * (1 - chance))[:, None]
        return np.asarray(self.rows.T @ scaled + np.diag(self.precision))

    def _chance(self, values: Array) -> Array:
        # The logistic function by way of one that does not overflow.
        return np.asarray(0.5 * (1 + np.tanh(0.5 * (self.offset + self.rows @ values))))

    def most_likely(self) -> Array:
        values = self.guess
        for _ in range(NEWTON_STEPS):
            before, move = values, np.linalg.solve(self.curvature(values), self.slope(values)).astype(np.float64)
            here = self.loss(before)
            # Halved until the loss does not rise by more than numbers are exact.
            steps = (np.asarray(before - move / 2**halvings) for halvings in range(40))
            values = next((step for step in steps if self.loss(step) <= here + EXACT * (1 + abs(here))), before)
            if _largest(values - before) <= ACCURACY * (1 + _largest(values)):
                return values
        raise OurBugError("Newton's method did not come to rest on a convex function")


def _largest(values: Array) -> float:
    return float(np.abs(values).max(initial=0.0))
