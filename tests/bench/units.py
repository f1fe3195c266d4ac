"""Units as they are taught, and the kinds of classes that the planner is measured against; drawn, never chosen.

Every class is drawn from its own seed, so that the same name is the same class in every run. Skills are whole numbers
from 1 to 5: ``uniform`` each as likely as the other, ``bell`` rounded and cut from a normal distribution with a mean of
3 and a deviation of 1.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit

STRAND = "skill"
SHAPES = ("uniform", "bell")


@dataclass(frozen=True)
class Case:
    """A class with its unit: a name that is the same in every run, its kind, and the record to be planned."""

    name: str
    kind: str
    record: ClassRecord


@dataclass(frozen=True)
class Mark:
    """A figure to be at or under: the most repeats, and the widest spread of team averages where one was given."""

    people: int
    size: int
    rounds: int
    apart: int
    repeats: int
    spread: float | None = None

    @property
    def kind(self) -> str:
        """Such as ``28 in fours, 6 rounds, 6 apart``."""
        return f"{self.people} in {WORDS[self.size]}, {self.rounds} rounds, {self.apart} apart"


WORDS = {2: "pairs", 3: "threes", 4: "fours", 5: "fives"}

MARKS = (
    Mark(28, 4, 6, 6, repeats=1, spread=0.75),
    Mark(32, 4, 7, 6, repeats=3),
    Mark(30, 5, 5, 6, repeats=3, spread=0.6),
    Mark(27, 3, 9, 5, repeats=5, spread=0.67),
    Mark(30, 3, 11, 6, repeats=12),
)
"""From an independent trial on one core with ten seconds a case; the classes behind the figures are not known here."""


def marked_cases(classes: int) -> Iterator[tuple[Mark, str, Case]]:
    """Every mark with each aim and several classes of each shape; the aim fresh only where no spread was given."""
    for mark in MARKS:
        for aim in ("balanced",) if mark.spread is not None else ("balanced", "fresh"):
            for number in range(classes):
                for shape in SHAPES:
                    yield mark, aim, _marked(mark, aim, shape, number)


def _marked(mark: Mark, aim: str, shape: str, number: int) -> Case:
    """The class does not depend on the aim."""
    chance = _chance(f"{mark.kind} {shape} {number}")
    roster = drawn_roster(mark.people, shape, chance)
    activity = Activity("game", aim, mark.size, strand=STRAND if aim == "balanced" else "")
    unit = Unit(tuple(Lesson(lesson, (activity,)) for lesson in range(1, mark.rounds + 1)))
    record = ClassRecord(roster, unit, drawn_apart(roster, mark.apart, chance))
    return Case(f"{mark.kind}, {aim}, {shape} {number}", f"{mark.kind}, {aim}", record)


def drawn_roster(people: int, shape: str, chance: Random) -> Roster:
    """A class with drawn skills."""
    students = (
        Student(f"s{place:03}", f"Student {place:03}", {STRAND: _skill(shape, chance)})
        for place in range(1, people + 1)
    )
    return Roster(tuple(students), (STRAND,))


def _skill(shape: str, chance: Random) -> int:
    if shape == "uniform":
        return chance.randint(1, 5)
    return min(5, max(1, round(chance.gauss(3, 1))))


def drawn_apart(roster: Roster, wanted: int, chance: Random) -> tuple[Request, ...]:
    """So many different pairs to be kept apart."""
    ids = [student.id for student in roster.students]
    pairs: dict[tuple[str, str], None] = {}
    while len(pairs) < wanted:
        one, other = sorted(chance.sample(ids, 2))
        pairs[(one, other)] = None
    return tuple(Request("apart", one, other) for one, other in pairs)


def _chance(name: str) -> Random:
    return Random(zlib.crc32(name.encode()))


# ---- realistic units ----


def _game(name: str, size: int, aim: str = "balanced", rounds: int = 1) -> Activity:
    return Activity(name, aim, size, rounds=rounds, strand="" if aim == "fresh" else STRAND)


def _coaching(rounds: int) -> Activity:
    return Activity("coach each other", "coaching", 2, rounds=rounds, strand=STRAND, min_gap=1, max_gap=3)


@dataclass(frozen=True)
class Outline:
    """A unit without its class: how many people and requests, and what is taught in each lesson."""

    kind: str
    people: int
    apart: int
    lessons: tuple[tuple[Activity, ...], ...]


OUTLINES = (
    Outline("20 in fives, 6 lessons", 20, 4, ((_game("game", 5),),) * 6),
    Outline("22 in pairs, 8 lessons", 22, 4, ((_game("passing", 2, "fresh"),),) * 8),
    Outline("24 in fours, 6 lessons", 24, 6, ((_game("game", 4),),) * 6),
    Outline("25 in pairs, 3 rounds, 8 lessons", 25, 5, ((_game("passing", 2, "fresh", rounds=3),),) * 8),
    Outline("26 coaching and fours, 8 lessons", 26, 5, ((_coaching(2), _game("game", 4)),) * 8),
    Outline("27 in threes, 10 lessons", 27, 8, ((_game("game", 3),),) * 10),
    Outline("28 in pairs, then fours, 8 lessons", 28, 6, ((_game("passing", 2, "fresh"), _game("game", 4)),) * 8),
    Outline("29 in fours, 7 lessons", 29, 4, ((_game("game", 4),),) * 7),
    Outline(
        "30 in pairs, threes and fives, 10 lessons", 30, 6,
        ((_game("passing", 2, "fresh", rounds=2), _game("drill", 3, "fresh"), _game("game", 5)),) * 10,
    ),
    Outline(
        "31 mixed, 9 lessons", 31, 7,
        (
            ((_game("passing", 2, "fresh", rounds=2), _game("game", 4)),) * 3
            + ((_game("drill", 3), Activity("game", groups=6, aim="balanced", strand=STRAND)),) * 3
            + ((_coaching(1), _game("game", 5), Activity("final", "stay")),) * 3
        ),
    ),
    Outline("32 alike in fours, 6 lessons", 32, 6, ((_game("game", 4, "similar"),),) * 6),
    Outline("34 in fours, 8 lessons", 34, 8, ((_game("game", 4),),) * 8),
)
"""Classes of 20 to 34, six to ten lessons, four to eight requests to keep apart, in the usual ways of grouping."""


def usual_cases() -> Iterator[Case]:
    """Every outline with a class of each shape."""
    for outline in OUTLINES:
        for shape in SHAPES:
            chance = _chance(f"{outline.kind} {shape}")
            roster = drawn_roster(outline.people, shape, chance)
            unit = Unit(tuple(Lesson(number, parts) for number, parts in enumerate(outline.lessons, start=1)))
            record = ClassRecord(roster, unit, drawn_apart(roster, outline.apart, chance))
            yield Case(f"{outline.kind}, {shape}", outline.kind, record)


def class_of_thirty() -> ClassRecord:
    """Thirty in ten lessons of three rounds in pairs and a balanced game of fives, six apart: for repair."""
    chance = _chance("repair")
    roster = drawn_roster(30, "bell", chance)
    parts = (_game("passing", 2, "fresh", rounds=3), _game("game", 5))
    unit = Unit(tuple(Lesson(number, parts) for number in range(1, 11)))
    return ClassRecord(roster, unit, drawn_apart(roster, 6, chance))
