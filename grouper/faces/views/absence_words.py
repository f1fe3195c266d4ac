"""When somebody is not there, or there without taking part, in words for the teacher."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grouper.model.noted import LATE, Absence
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class AbsenceWords:
    """An absence: ``state`` is away, late or aside; ``when`` the rounds, empty for all; the role of who is aside.

    ``from_start`` where it begins with the lesson; ``limited`` where ``when`` names the rounds that it is for.
    """

    state: str
    when: str = ""
    role: str = ""
    from_start: bool = True
    limited: bool = False

    @property
    def sentence(self) -> str:
        """All in one, such as 'late, here from round 3'."""
        doing = f" as {self.role}" if self.role else ""
        comma = "," if self.when and not self.limited else ""
        return f"{self.state}{doing}{comma} {self.when}".rstrip()


def absence_in_words(absence: Absence) -> AbsenceWords:
    """An absence in words.

    >>> absence_in_words(Absence(1, "ana", "away", role="late", until=2)).sentence
    'late, here from round 3'
    >>> absence_in_words(Absence(1, "ana", "aside", 2, "scorer", 3)).sentence
    'aside as scorer in rounds 2 to 3'
    """
    late = absence.state == "away" and absence.role == LATE
    from_start = absence.since == 1 and (absence.until is None or absence.state == "away")
    return AbsenceWords(
        LATE if late else absence.state,
        _when(absence),
        "" if late else absence.role,
        from_start,
        limited=absence.until is not None and not from_start,
    )


def _when(absence: Absence) -> str:
    if absence.until is None:
        return f"from round {absence.since}" if absence.since > 1 else ""
    if absence.since == 1 and absence.state == "away":
        return f"here from round {absence.until + 1}"
    if absence.since == absence.until:
        return f"in round {absence.since}"
    return f"in rounds {absence.since} to {absence.until}"


def absences_in_words(record: ClassRecord, lesson: int, student: str) -> tuple[AbsenceWords, ...]:
    """All absences of a student in a lesson, the first first."""
    return tuple(absence_in_words(absence) for absence in by_round(record.absences_of(student, lesson)))


def by_round(absences: Iterable[Absence]) -> tuple[Absence, ...]:
    """Absences in the order of their first rounds."""
    return tuple(sorted(absences, key=lambda absence: absence.since))
