"""What the teacher holds of abilities before the results: the scale of a rating, and the guess, so that no result
counts twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import floor, log10

from grouper.errors import InputError
from grouper.learning.evidence import Ability, Prior
from grouper.model.noted import Learnt
from grouper.model.record import ClassRecord
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
        # Half a step may come out a hair smaller than it is.
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
        what = "all ratings in '{strand}' are {rating:g}, so there is no telling what a step is"
        raise InputError(what, "rate from 1 to 5, or two students differently", strand=strand, rating=ratings[0])
    return Scale(min(ratings), max(ratings))


GUESS_SPREAD = 1.0
"""How far a teacher's rating may be off, in steps of the scale (standard deviation)."""

UNRATED_SPREAD = 1.5
"""The same for a student who is not rated, around the middle rating of the class."""


@dataclass(frozen=True)
class Guesses:
    """The teacher's guesses in a strand."""

    record: ClassRecord
    strand: str

    @cached_property
    def scale(self) -> Scale:
        """The scale of the strand."""
        guesses = (learnt.guess for learnt in self.learnt.values() if learnt.guess is not None)
        return scale_of(self.record.roster, self.strand, guesses)

    @cached_property
    def learnt(self) -> dict[str, Learnt]:
        """What was accepted before, by student."""
        return {learnt.student: learnt for learnt in self.record.learnt if learnt.strand == self.strand}

    def rating(self, student: str) -> float | None:
        """The rating on the roster; None for who is not rated or not on it any more."""
        person = self.record.roster.by_id.get(student)
        return person.ratings.get(self.strand) if person else None

    def rating_in_use(self, student: str) -> float:
        """The rating that the planner goes by: where there is none, the middle one of the class."""
        rating = self.rating(student)
        if rating is not None:
            return rating
        anybody_rated = any(self.strand in person.ratings for person in self.record.roster.active)
        return self.record.roster.middle(self.strand) if anybody_rated else self.scale.middle

    def since(self, student: str) -> int:
        """After which lesson the teacher rated a student anew; 0 for who was not."""
        learnt = self.learnt.get(student)
        if learnt is None:
            return 0
        return learnt.since if self.rating(student) == learnt.value else learnt.through

    def ability(self, student: str, lesson: int) -> Ability:
        """What a result of a lesson is about."""
        since = self.since(student)
        return Ability(student, since if lesson > since else 0)

    def now(self, student: str) -> Ability:
        """What a student's rating is to say."""
        return Ability(student, self.since(student))

    def guess(self, ability: Ability) -> float | None:
        """The teacher's own rating; None where there was none."""
        learnt = self.learnt.get(ability.student)
        rated_anew = learnt is not None and ability.since > learnt.since
        return learnt.guess if learnt and not rated_anew else self.rating(ability.student)

    def prior(self, ability: Ability) -> Prior:
        """The guess, and how far it may be off."""
        guess = self.guess(ability)
        if guess is None:
            return Prior(self._of_the_unrated, UNRATED_SPREAD * self.scale.step)
        return Prior(guess, GUESS_SPREAD * self.scale.step)

    @cached_property
    def _of_the_unrated(self) -> float:
        """The middle one of the first guesses; not of the ratings, which hold results already."""
        first = (self.guess(Ability(student.id)) for student in self.record.roster.active)
        guesses = sorted(guess for guess in first if guess is not None)
        return guesses[len(guesses) // 2] if guesses else self.scale.middle
