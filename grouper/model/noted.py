"""What a teacher notes of students and lessons: who is away or aside, notes, and ratings that were accepted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.model.texts import check_rating

STATES = ("away", "aside")

LATE = "late"
"""The role of somebody who is away and expected."""


@dataclass(frozen=True, order=True)
class Absence:
    """A student who takes no part in a lesson, or in the rest of it.

    ``state`` is ``away`` (not there) or ``aside`` (there, with a ``role`` such as scorer); ``since`` is the first
    round of the lesson, counted from 1 over all its activities, that the student misses, and ``until`` the last one, or
    None for the last of the lesson.
    """

    lesson: int
    student: str
    state: str = "away"
    since: int = 1
    role: str = ""
    until: int | None = None

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise InputError("a student is away or aside, not '{state}'", state=self.state)
        if self.since < 1:
            raise InputError("rounds of a lesson are counted from 1, got {since}", since=self.since)
        if self.until is not None and self.until < self.since:
            raise InputError(
                "somebody away from round {since} cannot be back after round {until}",
                since=self.since,
                until=self.until,
            )

    def covers(self, place: int) -> bool:
        """Whether the student misses the round at this place of the lesson."""
        return self.since <= place and (self.until is None or place <= self.until)


def merged(absences: Iterable[Absence]) -> list[Absence]:
    """Absences of a student in a lesson, with those made one of which one ends where the next of its kind begins."""
    found: list[Absence] = []
    for absence in sorted(absences, key=lambda a: a.since):
        last = found[-1] if found else None
        if last and last.until == absence.since - 1 and (last.state, last.role) == (absence.state, absence.role):
            found[-1] = replace(last, until=absence.until)
        else:
            found.append(absence)
    return found


MOST_LETTERS = 2000


@dataclass(frozen=True, order=True)
class Note:
    """A note on a round of a lesson, counted from 1 over its activities, or on the whole lesson (``place`` 0)."""

    lesson: int
    place: int
    text: str

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InputError("a note needs some words")
        if len(self.text) > MOST_LETTERS:
            raise InputError(
                "a note has at most {most_letters} letters, this one has {count}",
                most_letters=MOST_LETTERS,
                count=len(self.text),
            )
        if self.place < 0:
            raise InputError("rounds of a lesson are counted from 1, got {place}", place=self.place)


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
