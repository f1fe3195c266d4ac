"""The scale that a strand is rated on: its ends, its steps, and what a rating is rounded to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, log10

from grouper.errors import InputError
from grouper.model.roster import Roster

USUAL_LOW, USUAL_HIGH = 1.0, 5.0
STEPS_ON_A_SCALE = 4
"""From 1 to 5 there are four steps; other scales are cut in as many."""


@dataclass(frozen=True)
class Scale:
    """From the lowest to the highest rating.

    Examples
    --------
    >>> Scale(1, 5).step, Scale(1, 5).grain, Scale(0, 100).grain
    (1.0, 0.5, 10.0)
    """

    low: float = USUAL_LOW
    high: float = USUAL_HIGH

    @property
    def step(self) -> float:
        """A step of the scale: 1 where it goes from 1 to 5."""
        return (self.high - self.low) / STEPS_ON_A_SCALE

    @property
    def middle(self) -> float:
        """Half way between the ends."""
        return (self.low + self.high) / 2

    @property
    def grain(self) -> float:
        """What ratings are rounded to: the largest of 1, 2, 5, 10 ... (or 0.5, 0.2 ...) within half a step."""
        half = self.step / 2
        power = 10.0 ** floor(log10(half))
        return max(digit * power for digit in (1, 2, 5) if digit * power <= half * (1 + 1e-9))

    def rounded(self, value: float) -> float:
        """The rating that a number stands for: rounded, and within the scale.

        Examples
        --------
        >>> Scale(1, 5).rounded(3.3), Scale(1, 5).rounded(7.1)
        (3.5, 5.0)
        """
        near = round(round(value / self.grain) * self.grain, 9)
        return float(min(max(near, self.low), self.high))


def scale_of(roster: Roster, strand: str, earlier: Iterable[float] = ()) -> Scale:
    """The scale of a strand: 1 to 5 where all ratings fit in it, from the lowest to the highest rating otherwise.

    ``earlier`` are ratings from before others were taken over, so that a scale does not shrink by learning.

    Raises
    ------
    InputError
        All ratings are the same number and lie outside of 1 to 5, so that there is no telling what a step is.
    """
    ratings = [student.ratings[strand] for student in roster.active if strand in student.ratings] + list(earlier)
    if all(USUAL_LOW <= rating <= USUAL_HIGH for rating in ratings):
        return Scale()
    if min(ratings) == max(ratings):
        raise InputError(
            "all ratings in '{strand}' are {rating:g}, so there is no telling what a step is",
            "rate from 1 to 5, or two students differently",
            strand=strand,
            rating=ratings[0],
        )
    return Scale(min(ratings), max(ratings))
