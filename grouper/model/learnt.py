"""Ratings that were learnt: what the teacher had guessed, kept so that no result counts twice."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.model.texts import check_rating


@dataclass(frozen=True)
class Learnt:
    """A suggestion that the teacher accepted.

    Parameters
    ----------
    student, strand
        Whose rating (id), in what.
    guess
        The teacher's own rating from before, None where there was none. What is learnt next starts from it again and
        from all results, as ``value`` holds some of them already.
    value
        The rating that was accepted. Where the roster says something else the teacher has rated anew: that is the
        guess then, and only results of later lessons than ``through`` tell more.
    through
        The last lesson whose results ``value`` holds.
    since
        The lesson after which the teacher made the guess, as results up to it were known then; 0 for before the unit.
    """

    student: str
    strand: str
    guess: float | None
    value: float
    through: int
    since: int = 0

    def __post_init__(self) -> None:
        for value in (self.guess, self.value):
            check_rating(value, f"the rating learnt in '{self.strand}'")
