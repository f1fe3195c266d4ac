"""What the teacher holds of everybody's ability before the results: the guess, so that no result counts twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from grouper.learning.evidence import Ability, Prior, Unknown
from grouper.learning.scale import Scale, scale_of
from grouper.model.noted import Learnt
from grouper.model.record import ClassRecord

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

    def held(self, student: str) -> float:
        """The rating that the planner goes by: where there is none, the middle one of the class."""
        rating = self.rating(student)
        if rating is None:
            return self.record.roster.middle(self.strand) if self._anybody_rated else self.scale.middle
        return rating

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

    def priors(self, abilities: Iterable[Ability]) -> dict[Unknown, Prior]:
        """The priors of some abilities, each once, in this order."""
        return {ability: self.prior(ability) for ability in dict.fromkeys(abilities)}

    @cached_property
    def _of_the_unrated(self) -> float:
        """The middle one of the first guesses; not of the ratings, which hold results already."""
        first = (self.guess(Ability(student.id)) for student in self.record.roster.active)
        guesses = sorted(guess for guess in first if guess is not None)
        return guesses[len(guesses) // 2] if guesses else self.scale.middle

    @property
    def _anybody_rated(self) -> bool:
        return any(self.strand in student.ratings for student in self.record.roster.active)
