"""Who is not there, or there without taking part, in which lesson."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError

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
