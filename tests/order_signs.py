"""What could be read from order in plans of classes that are listed by ability, one figure a class for each sign.

A sign is a figure that is 0 on average where order tells nothing: above it the more able stand there, below it the less
able. Over many classes its mean, in standard errors, says whether it tells anything.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from math import sqrt
from random import Random
from statistics import mean, stdev

from builders import STRAND, hasty, pairs, roster_of

from grouper.model.ledger import COACH
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import Activity, Lesson, Unit

ACTIVITIES = (
    pairs(2),
    Activity("Help", "coaching", size=2, strand=STRAND),
    Activity("Game", "similar", size=4, strand=STRAND),
)


def listed_class(number: int, order: str = "rising") -> ClassRecord:
    """A class of 22 to 27 in a unit of two lessons; ``order`` is rising or falling ability, or mixed.

    Ids and names are alike in all of them; what differs is how many they are, and who is how able.
    """
    chance = Random(f"{number} {order}")
    people = 22 + number % 6
    ratings = sorted(round(chance.gauss(50, 15), 1) for _ in range(people))
    if order == "mixed":
        chance.shuffle(ratings)
    roster = roster_of(people, ratings if order != "falling" else ratings[::-1])
    return ClassRecord(roster, Unit(tuple(Lesson(lesson, ACTIVITIES) for lesson in (1, 2))))


@dataclass
class Signs:
    """The figures of each sign, one a class."""

    figures: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))

    def add(self, record: ClassRecord) -> None:
        """Plan a class and count its signs."""
        planned = hasty(record)
        ability = _standing(planned.roster)
        for name, values in _signs(planned, ability).items():
            self.figures[name].append(mean(values))

    @property
    def in_standard_errors(self) -> dict[str, float]:
        """How far each mean is from 0; signs that fewer than twenty classes have are left out."""
        return {
            name: mean(values) / (stdev(values) / sqrt(len(values)))
            for name, values in self.figures.items()
            if len(values) >= 20
        }


def _standing(roster: Roster) -> dict[str, float]:
    """By student the rating, less the mean of the class."""
    ratings = {student.id: student.ratings[STRAND] for student in roster.students}
    middle = mean(ratings.values())
    return {student: rating - middle for student, rating in ratings.items()}


def _signs(record: ClassRecord, ability: dict[str, float]) -> dict[str, list[float]]:
    signs: dict[str, list[float]] = defaultdict(list)
    for round_ in record.plan.rounds:
        where = f"lesson {round_.key.lesson}, activity {round_.key.activity}, round {round_.key.round}"
        for sign, value in _signs_of_round(round_, ability):
            signs[sign].append(value)
            signs[f"{where}: {sign}"].append(value)
    return signs


def _signs_of_round(round_: Round, ability: dict[str, float]) -> list[tuple[str, float]]:
    """Labels, the order of groups and of names, the trio, and who begins as coach."""
    found = []
    for place, group in enumerate(round_.groups, start=1):
        average = mean(ability[student] for student in group.members)
        if place <= 5:
            found += [(f"group {group.label}", average), (f"group in place {place}", average)]
        found.append(("named first", ability[group.members[0]] - average))
        found.append(("named last", ability[group.members[-1]] - average))
        if COACH in group.roles:
            coach = group.members[group.roles.index(COACH)]
            found.append(("coach first", ability[coach] - average))
        elif len(group.members) == 3 and round_.key.activity == 1:
            found.append(("in the trio", average))
    return found
