"""Camps and sports days to measure scale by: many people, many rounds, requests and even teams; drawn, never chosen."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from units import STRAND, drawn_roster, usual_cases

from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster
from grouper.model.unit import Activity, Lesson, Unit

PEOPLE = (30, 60, 120, 200, 300, 500, 700, 1000)
ROUNDS = (5, 10, 20)


@dataclass(frozen=True)
class Camp:
    """So many people in groups of a size for so many rounds, with one aim.

    A tenth of them asks to be kept apart from somebody, a twentieth to be together with somebody where groups are
    larger than pairs; nobody asks twice.
    """

    people: int
    rounds: int
    size: int = 4
    aim: str = "balanced"

    def record(self) -> ClassRecord:
        """The camp with its requests, and no plan."""
        chance = Random(zlib.crc32(f"camp of {self.people}".encode()))
        roster = drawn_roster(self.people, "bell", chance)
        strand = "" if self.aim == "fresh" else STRAND
        gaps = {"min_gap": 1.0, "max_gap": 3.0} if self.aim == "coaching" else {}
        activity = Activity("game", self.aim, self.size, strand=strand, **gaps)
        unit = Unit(tuple(Lesson(number, (activity,)) for number in range(1, self.rounds + 1)))
        return ClassRecord(roster, unit, self._requests(roster, chance))

    def _requests(self, roster: Roster, chance: Random) -> tuple[Request, ...]:
        apart, together = self.people // 20, self.people // 40 if self.size > 2 else 0
        asked = chance.sample([student.id for student in roster.students], 2 * (apart + together))
        pairs = [sorted(pair) for pair in zip(asked[::2], asked[1::2], strict=True)]
        kinds = ["apart"] * apart + ["together"] * together
        return tuple(Request(kind, *pair) for kind, pair in zip(kinds, pairs, strict=True))


GRID = tuple(Camp(people, rounds) for rounds in ROUNDS for people in PEOPLE)
"""Fours with even teams: what the plot shows."""

OTHERS = (
    Camp(1000, 20, 2, "fresh"),
    Camp(1000, 20, 2, "coaching"),
    Camp(1000, 20, 4, "similar"),
    Camp(300, 20, 10),
    Camp(1000, 20, 10),
    Camp(1000, 20, 50),
    Camp(1000, 40, 4),
)


def school(classes: int) -> Iterator[ClassRecord]:
    """So many classes of the realistic units, each kind in turn."""
    cases = [case.record for case in usual_cases()]
    return (cases[number % len(cases)] for number in range(classes))
