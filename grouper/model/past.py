"""Units that are over: the rounds as they ran, so that a new unit knows who has worked with whom.

Meetings of long ago count less: a meeting's weight halves with every half-life (a setting, in weeks). Its age is the
time from its lesson to the first lesson of the unit at hand; where one of the two has no date, every unit in between
counts as a term of TERM_WEEKS. The weight hangs on dates in the file alone and never on today's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from math import floor
from typing import TypeVar

from grouper.model.ledger import ledger_of
from grouper.model.plan import Group, Round
from grouper.model.unit import RoundKey, Unit

TERM_WEEKS = 12.0
"""About a third of a school year (common practice, no source)."""

TRIO = 3

Counted = TypeVar("Counted")


@dataclass(frozen=True)
class PastRound:
    """A round of a unit that is over.

    Parameters
    ----------
    unit
        Which unit, counted from 1 for the first that this class had.
    key, date, activity
        Its round in that unit, the lesson's date as ``YYYY-MM-DD`` or empty, and the activity's name.
    in_pairs
        Whether people worked in pairs, so that a group of three was the trio of an odd class.
    groups
        As they really were.
    """

    unit: int
    key: RoundKey
    date: str
    activity: str
    in_pairs: bool
    groups: tuple[Group, ...]

    @property
    def as_round(self) -> Round:
        """The groups as a round of the ledger."""
        return Round(self.key, self.groups, self.groups)


@dataclass(frozen=True)
class Earlier:
    """What earlier units add up to today.

    ``meetings`` has the faded number of meetings by pair (ids, the smaller first); ``trio`` and ``coach`` the faded
    turns by student, in whole turns, halves rounded up.
    """

    meetings: dict[tuple[str, str], float] = field(default_factory=dict)
    trio: dict[str, int] = field(default_factory=dict)
    coach: dict[str, int] = field(default_factory=dict)


NOTHING_EARLIER = Earlier()


def earlier_of(past: Iterable[PastRound], unit: Unit, half_life: float) -> Earlier:
    """What the rounds of earlier units count at the start of this unit; ``half_life`` in weeks, 0 for not at all."""
    rounds = tuple(past)
    if not rounds or half_life <= 0:
        return NOTHING_EARLIER
    meetings: dict[tuple[str, str], float] = {}
    trio: dict[str, float] = {}
    coach: dict[str, float] = {}
    for round_, weight in _weighed(rounds, unit, half_life):
        ledger = ledger_of([round_.as_round])
        _add(meetings, ledger.meetings, weight)
        _add(trio, _trio(round_), weight)
        _add(coach, ledger.coach_turns, weight)
    return Earlier(meetings, _whole(trio), _whole(coach))


def _add(sums: dict[Counted, float], seen: Counter[Counted], weight: float) -> None:
    for what, times in seen.items():
        sums[what] = sums.get(what, 0.0) + weight * times


def _weighed(rounds: tuple[PastRound, ...], unit: Unit, half_life: float) -> Iterator[tuple[PastRound, float]]:
    start = next((lesson.date for lesson in unit.lessons if lesson.date), "")
    units = max(round_.unit for round_ in rounds) + 1
    for round_ in rounds:
        age = _weeks(round_.date, start, (units - round_.unit) * TERM_WEEKS)
        yield round_, 0.5 ** (age / half_life)


def _weeks(then: str, now: str, otherwise: float) -> float:
    if not then or not now:
        return otherwise
    return max(0.0, (date.fromisoformat(now) - date.fromisoformat(then)).days / 7)


def _trio(round_: PastRound) -> Counter[str]:
    trios = (group for group in round_.groups if round_.in_pairs and len(group.members) == TRIO)
    return Counter(student for group in trios for student in group.members)


def _whole(turns: dict[str, float]) -> dict[str, int]:
    return {student: whole for student, times in turns.items() if (whole := floor(times + 0.5))}
