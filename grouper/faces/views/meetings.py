"""The map of who has worked with whom, students by students, and what it adds up to."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from grouper.faces.views.names import display_names, full_name
from grouper.faces.views.ordering import name_order
from grouper.faces.wording.words import times_in_words
from grouper.model.ledger import ledger_of
from grouper.model.plan import Round
from grouper.model.record import ClassRecord

LEVELS = 5
"""Shades of the map beside none; the number stands in each place too."""


@dataclass(frozen=True)
class Meeting:
    """A place of the map, row and column from 0: how often the two met, its shade from 1 to LEVELS, in words."""

    row: int
    column: int
    times: int
    level: int
    said: str


@dataclass(frozen=True)
class MapLine:
    """A student of the map: with how many others, how often in all, turns in the trio and as coach (None for none)."""

    id: str
    name: str
    full: str
    partners: int
    meetings: int
    trio: int | None
    coach: int | None


@dataclass(frozen=True)
class MeetingMap:
    """The students by the alphabet, the places where two have met, and how many pairs met how often."""

    lines: tuple[MapLine, ...]
    meetings: tuple[Meeting, ...]
    pairs_by_times: tuple[tuple[int, int], ...]
    rounds: int

    @property
    def most_partners(self) -> int:
        """Of the student with most partners."""
        return max((line.partners for line in self.lines), default=0)

    @property
    def most_pairs(self) -> int:
        """The longest bar of ``pairs_by_times``."""
        return max((pairs for _, pairs in self.pairs_by_times), default=0)


@dataclass(frozen=True)
class TurnsSoFar:
    """Turns by id; None where the unit has none."""

    trio: dict[str, int] | None
    coach: dict[str, int] | None


def meeting_map(record: ClassRecord, rounds: tuple[Round, ...], turns: TurnsSoFar) -> MeetingMap:
    """The map of some rounds; all who are in the class or in one of the rounds are on it."""
    ledger = ledger_of(rounds)
    seen = {student for round_ in rounds for student in round_.students}
    students = [s for s in record.roster.students if not s.archived or s.id in seen]
    names = display_names(students, record.roster.in_unit)
    students.sort(key=lambda student: (name_order(names[student.id]), student.id))
    partners = ledger.partners(student.id for student in students)
    total = Counter(student for pair, times in ledger.meetings.items() for student in pair for _ in range(times))
    lines = tuple(
        MapLine(
            student.id,
            names[student.id],
            full_name(student),
            partners[student.id],
            total[student.id],
            None if turns.trio is None else turns.trio.get(student.id, 0),
            None if turns.coach is None else turns.coach.get(student.id, 0),
        )
        for student in students
    )
    met = {(one.id, other.id): ledger.met(one.id, other.id) for one in students for other in students if one != other}
    return MeetingMap(lines, _places(lines, met), _pairs_by_times(met), len(rounds))


def _places(lines: tuple[MapLine, ...], met: dict[tuple[str, str], int]) -> tuple[Meeting, ...]:
    middle = _middle([times for times in met.values() if times])
    return tuple(
        Meeting(row, column, times, _level(times, middle), f"{one.name} and {other.name}: {times_in_words(times)}")
        for row, one in enumerate(lines)
        for column, other in enumerate(lines)
        if (times := met.get((one.id, other.id), 0))
    )


def _middle(times: list[int]) -> int:
    return sorted(times)[len(times) // 2] if times else 0


def _level(times: int, middle: int) -> int:
    """A shade for each number up to LEVELS; where most have met more often, what is usual has the middle one."""
    shift = max(0, middle - (LEVELS + 1) // 2)
    return min(LEVELS, max(1, times - shift))


def _pairs_by_times(met: dict[tuple[str, str], int]) -> tuple[tuple[int, int], ...]:
    count = Counter(times for (one, other), times in met.items() if one < other)
    return tuple((times, count[times]) for times in range(max(count, default=-1) + 1))
