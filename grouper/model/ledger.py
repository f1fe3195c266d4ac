"""Who has met whom, and who had which turn, in this unit and before: computed from rounds, never stored a second time.

Meetings of long ago count less: a meeting's weight halves with every half-life (a setting, in weeks). Its age is the
time from its lesson to the first lesson of the unit at hand; where one of the two has no date, every unit in between
counts as a term of TERM_WEEKS. The weight hangs on dates in the file alone and never on today's.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import combinations
from math import comb, floor
from typing import TypeVar

from grouper.model.plan import Group, Round
from grouper.model.sides import FLOATER
from grouper.model.unit import RoundKey, Unit

COACH = "coach"
LEARNER = "learner"
SMALLER = "smaller side"
"""The role, in a unit that is over, of those whose turn it was on the smaller of two sides that differed on purpose."""


@dataclass(frozen=True)
class Ledger:
    """What some rounds add up to.

    ``meetings`` counts the rounds that each two students (ids, the smaller first) were in one group;
    ``coach_turns`` the rounds that each student was coach.
    """

    meetings: Counter[tuple[str, str]]
    coach_turns: Counter[str]

    @property
    def repeats(self) -> int:
        """Meetings after the first, summed over all pairs."""
        return sum(times - 1 for times in self.meetings.values())

    @property
    def meeting_cost(self) -> int:
        """Sum over all pairs of C(m, 2), m how often they met: spreads repeats where they cannot be avoided."""
        return sum(comb(times, 2) for times in self.meetings.values())

    @property
    def most_meetings(self) -> int:
        """How often the two who met most have met."""
        return max(self.meetings.values(), default=0)

    def met(self, one: str, other: str) -> int:
        """How often these two have met."""
        return self.meetings[(one, other) if one < other else (other, one)]

    def partners(self, students: Iterable[str]) -> dict[str, int]:
        """With how many different others each of these students has been in a group."""
        count = dict.fromkeys(students, 0)
        for one, other in self.meetings:
            for student in (one, other):
                if student in count:
                    count[student] += 1
        return count


def ledger_of(rounds: Iterable[Round]) -> Ledger:
    """The ledger of these rounds."""
    meetings: Counter[tuple[str, str]] = Counter()
    coaches: Counter[str] = Counter()
    for round_ in rounds:
        meetings.update(round_.pairs)
        for group in round_.groups:
            coaches.update(
                student for student, role in zip(group.members, group.roles, strict=False) if role == COACH
            )
    return Ledger(meetings, coaches)


TERM_WEEKS = 12.0
"""About a third of a school year (common practice, no source)."""

TRIO = 3

NOTHING = 1e-9

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
class EarlierUnits:
    """What earlier units add up to today.

    ``meetings`` has the faded number of meetings by pair (ids, the smaller first); ``trio``, ``coach`` and ``side``
    (on a smaller side, or as floater) the faded turns by student. Who was not there counts as the middle of the class:
    for a round that they missed they are counted the turns that each of the others had on average, and for two who had
    fewer rounds in which to meet than there were, as many meetings as the middle pair had in such rounds.
    """

    meetings: dict[tuple[str, str], float] = field(default_factory=dict)
    trio: dict[str, float] = field(default_factory=dict)
    coach: dict[str, float] = field(default_factory=dict)
    side: dict[str, float] = field(default_factory=dict)


NO_EARLIER_UNITS = EarlierUnits()


def earlier_of(
    past: Iterable[PastRound], unit: Unit, half_life: float, students: Iterable[str] = ()
) -> EarlierUnits:
    """What the rounds of earlier units count at the start of this unit, for its students, those who are new too.

    ``half_life`` in weeks, 0 for not at all.
    """
    rounds, here = tuple(past), tuple(students)
    if not rounds or half_life <= 0:
        return NO_EARLIER_UNITS
    meetings: dict[tuple[str, str], float] = {}
    trio: dict[str, float] = {}
    coach: dict[str, float] = {}
    side: dict[str, float] = {}
    missed: dict[str, dict[int, float]] = {}
    for number, (round_, weight) in enumerate(_weighed(rounds, unit, half_life)):
        there = set(round_.as_round.students)
        absent = [student for student in here if student not in there]
        for student in absent:
            missed.setdefault(student, {})[number] = weight
        ledger = ledger_of([round_.as_round])
        _add(meetings, ledger.meetings, weight)
        trios = (group for group in round_.groups if round_.in_pairs and len(group.members) == TRIO)
        trio_turns = Counter(student for group in trios for student in group.members)
        for sums, turns in ((trio, trio_turns), (coach, ledger.coach_turns), (side, _side(round_))):
            _add(sums, turns, weight)
            _add(sums, dict.fromkeys(absent, turns.total() / len(there)) if there else {}, weight)
    whole = sum(weight for _, weight in _weighed(rounds, unit, half_life))
    _add_unmet(meetings, here, missed, whole)
    return EarlierUnits(meetings, trio, coach, side)


def _add(sums: dict[Counted, float], seen: Mapping[Counted, float], weight: float) -> None:
    for what, times in seen.items():
        sums[what] = sums.get(what, 0.0) + weight * times


def _add_unmet(
    meetings: dict[tuple[str, str], float], here: tuple[str, ...], missed: dict[str, dict[int, float]], whole: float
) -> None:
    """Count two who could not meet in some rounds what the middle pair met in such rounds, by the weight of those."""
    known = {student for student in here if sum(missed.get(student, {}).values()) < whole - NOTHING}
    met = sum(pair in meetings for pair in combinations(sorted(known), 2))
    if not missed or 2 * met <= comb(len(known), 2):
        return  # The middle pair has never met.
    pairs = combinations(sorted(here), 2)
    apart = {(one, other): sum({**missed.get(one, {}), **missed.get(other, {})}.values()) for one, other in pairs}
    rates = sorted(meetings.get(pair, 0.0) / (whole - lost) for pair, lost in apart.items() if lost < whole - NOTHING)
    middle = rates[len(rates) // 2] if rates else 0.0
    _add(meetings, {pair: weight for pair, weight in apart.items() if weight > 0}, middle)


def _weighed(rounds: tuple[PastRound, ...], unit: Unit, half_life: float) -> Iterator[tuple[PastRound, float]]:
    start = next((lesson.date for lesson in unit.lessons if lesson.date), "")
    units = max(round_.unit for round_ in rounds) + 1
    for round_ in rounds:
        weeks = (units - round_.unit) * TERM_WEEKS
        if round_.date and start:
            weeks = max(0.0, (date.fromisoformat(start) - date.fromisoformat(round_.date)).days / 7)
        yield round_, 0.5 ** (weeks / half_life)


def _side(round_: PastRound) -> Counter[str]:
    """Floaters are called so as they play, those of smaller sides when their unit ends; a round has one of the two."""
    return Counter(
        student for group in round_.groups for student in group.members if group.role(student) in (FLOATER, SMALLER)
    )


def whole_turns(turns: Mapping[str, float]) -> dict[str, int]:
    """Turns in whole ones, halves rounded up; those who have none are not there."""
    # round() would take halves to the even number, now up and now down.
    return {student: whole for student, times in turns.items() if (whole := floor(times + 0.5))}
