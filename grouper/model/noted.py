"""What a teacher notes: who is away or aside, notes, how the tasks of groups went, and ratings that were accepted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.model.levers import At
from grouper.model.texts import MOST_NUMBER, check_number, check_rating
from grouper.model.unit import RoundKey

FELT = ("", "easy", "right", "hard")
"""Nothing said, too easy, right, too hard."""

Spot = tuple[RoundKey, str]
"""A group: its round and its label."""


@dataclass(frozen=True)
class TaskResult:
    """How the task of a group went, and how many points it won.

    Parameters
    ----------
    key, label
        The round, and the group's label in it.
    felt
        One of FELT: the teacher's quick word.
    hits, tries
        Successes and attempts, where they were counted; both or neither.
    at
        The task that the group worked at, lever by lever; empty where it is not known.
    points, lost
        Points that the group won by the activity's way of scoring, None where none were counted, and those it lost.
    """

    key: RoundKey
    label: str
    felt: str = ""
    hits: int | None = None
    tries: int | None = None
    at: At = ()
    points: int | None = None
    lost: int = 0

    def __post_init__(self) -> None:
        if self.felt not in FELT:
            raise InputError("a task was easy, right or hard for a group, not '{felt}'", felt=self.felt)
        if (self.hits is None) != (self.tries is None):
            raise InputError("successes and attempts go together; give both, such as 7/10")
        if self.hits is not None and self.tries is not None and not 0 <= self.hits <= self.tries:
            raise InputError("{hits} of {tries} attempts cannot have succeeded", hits=self.hits, tries=self.tries)
        check_number(self.tries, "the number of attempts", 0, MOST_NUMBER)
        check_number(self.points, "points", 0, MOST_NUMBER)
        check_number(self.lost, "points lost", 0, MOST_NUMBER if self.points is not None else 0)
        if not self.tells_of_ability and self.points is None:
            raise InputError("say how it went: easy, right or hard, or successes of attempts such as 7/10")
        check_at(self.at)

    @property
    def spot(self) -> Spot:
        """Which group it is about."""
        return self.key, self.label

    @property
    def tells_of_ability(self) -> bool:
        """Whether anything is learnt of it: points alone, without attempts, are of no known share."""
        return bool(self.felt or self.tries)

    @property
    def net(self) -> int | None:
        """Points won less points lost; None where none were counted."""
        return None if self.points is None else self.points - self.lost


@dataclass(frozen=True)
class ChosenTask:
    """A task that goes before the suggested one: round, the group's label in it, the setting of each lever, and for
    whom it was chosen (ids)."""

    key: RoundKey
    label: str
    at: At
    members: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_at(self.at)

    @property
    def spot(self) -> Spot:
        """Which group it is for."""
        return self.key, self.label


def check_at(at: At) -> None:
    """Raise InputError where a setting is none: they are counted from 1, and 0 is a lever that was not in play."""
    if any(place < 0 for place in at):
        raise InputError("settings of a lever are counted from 1, got {place}", place=min(at))


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
            what = "somebody away from round {since} cannot be back after round {until}"
            raise InputError(what, since=self.since, until=self.until)

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
            what = "a note has at most {most_letters} letters, this one has {count}"
            raise InputError(what, most_letters=MOST_LETTERS, count=len(self.text))
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
