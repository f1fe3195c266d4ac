"""Who has met whom, and who had which turn: always computed from rounds, never stored a second time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import comb

from grouper.model.plan import Round

COACH = "coach"
LEARNER = "learner"


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
