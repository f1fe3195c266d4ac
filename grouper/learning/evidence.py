"""What was seen, in the one form that all evidence takes here: so many trials, of which a share succeeded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple


class Ability(NamedTuple):
    """A student's ability as it was guessed after a lesson; 0 where the guess is from before the unit.

    A student whom the teacher rated anew has two: results up to that lesson are about the first, later ones about the
    second.
    """

    student: str
    since: int = 0


class Demand(NamedTuple):
    """How much an activity of a lesson asks, on the scale of abilities."""

    lesson: int
    activity: int


class Rise(NamedTuple):
    """How much harder a setting of an activity's lever is than the one before it, in logits.

    The activity is by name in small letters; the lever counts from 0, the setting that it rises from counts from 1.
    """

    activity: str
    lever: int
    setting: int


Unknown = Ability | Demand | Rise
"""What is not known and is learnt about: who can do how much, how hard a task is, and what a setting adds."""


@dataclass(frozen=True)
class Prior:
    """What is held of something before anything was seen: a guess, and how far it may be off (standard deviation)."""

    mean: float
    spread: float


@dataclass(frozen=True)
class Trial:
    """Trials that succeed, each for itself, with the chance logistic(offset + sum of weight x unknown).

    Parameters
    ----------
    weights
        By how much each unknown counts, in logits for one unit of the strand's scale.
    share
        The share that succeeded, 0 to 1.
    count
        How many trials; a fraction where they count less than independent ones would.
    offset
        The logit of the chance where the weighted sum is 0.
    """

    weights: Mapping[Unknown, float]
    share: float
    count: float
    offset: float = 0.0
