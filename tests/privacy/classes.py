"""Classes whose unit has been lived through: absences, roles, notes, games, results, requests, an earlier unit."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from builders import game, games_of

from grouper.model.ledger import PastRound, ledger_of
from grouper.model.noted import Absence, Learnt, Note, TaskResult
from grouper.model.plan import Group, Round
from grouper.model.play import Event, Score
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from tests.page.serving import ROOT
from tests.sheets.examples import NAMES, planned

LESSONS = (
    Lesson(1, (Activity("Passing", size=2, rounds=4, minutes=4), Activity("Game", groups=4)), "2026-09-07"),
    Lesson(2, (Activity("Mentors", aim="coaching", size=2, rounds=2, strand="throwing", min_gap=1),), "2026-09-14"),
    Lesson(3, (Activity("Relay", size=4, rounds=2),), "2026-09-21"),
)
OUT_OF = "qz"
"""Ids begin with it, so that they are found nowhere else."""


def invented_class(count: int = 25) -> ClassRecord:
    """A class with names in many scripts and ids that stand for nothing else, two of three lessons taught."""
    students = tuple(_student(place) for place in range(count))
    absences = (
        Absence(1, students[2].id, "away"),
        Absence(1, students[3].id, "aside", 2, "sprained ankle"),
        Absence(2, students[4].id, "aside", 1, "scorer"),
    )
    requests = (Request("apart", students[0].id, students[1].id), Request("together", students[5].id, students[6].id))
    bare = ClassRecord(Roster(students, ("throwing",)), Unit(LESSONS), requests, absences, taught=frozenset({1, 2}))
    record = planned(bare)
    return replace(
        record,
        events=(_games(record),),
        notes=_notes(),
        learnt=(Learnt(students[0].id, "throwing", 0.0625, students[0].ratings["throwing"], 1),),
        results=(TaskResult(RoundKey(1, 2, 1), "1", "easy", 7, 10, (2,)),),
        past=(_past(students),),
    )


def _student(place: int) -> Student:
    return Student(f"{OUT_OF}{place:03d}", NAMES[place], {"throwing": 1.123456 + place}, "SML"[place % 3])


def _games(record: ClassRecord) -> Event:
    labels = tuple(group.label for group in record.plan.by_key[RoundKey(1, 2, 1)].groups)
    games = (game(1, 1, 1, 2, 3, Score(11, 7, home_bonus=2)), game(1, 2, 3, 4, None, Score(31, 37)))
    return games_of(1, "Game", labels, 2, games)


def _notes() -> tuple[Note, ...]:
    return (
        Note(1, 0, "Chloe and Ben Okafor quarrelled"),
        Note(1, 1, "Mia was tired"),
        Note(1, 2, "今天小明很好"),
        Note(2, 0, "a loud lesson"),
    )


def _past(students: tuple[Student, ...]) -> PastRound:
    groups = (Group("Team Amina", (students[0].id, students[7].id)), Group("2", (students[1].id, students[2].id)))
    return PastRound(1, RoundKey(1, 1, 1), "2026-05-04", "Rounders", True, groups)


@cache
def demo_class() -> ClassRecord:
    """The invented odd class that comes with the project, groups by plain rotation, four lessons taught."""
    from grouper.files.lessons import read_lessons
    from grouper.files.requests import read_requests
    from grouper.files.roster import read_roster

    tables = ROOT / "rosters_demo" / "odd"
    roster = read_roster(tables / "roster.csv").roster
    requests = read_requests(tables / "requests.csv", roster).requests
    unit = read_lessons(tables / "lessons.csv", roster).unit
    absences = (Absence(1, roster.students[4].id), Absence(2, roster.students[9].id, "aside", 1, "scorer"))
    record = planned(ClassRecord(roster, unit, requests, absences, taught=frozenset({1, 2, 3, 4})))
    notes = tuple(Note(1, place, _said(students)) for place, students in enumerate(_twos(roster)[:6]))
    return replace(record, notes=notes)


def _twos(roster: Roster) -> list[tuple[Student, Student]]:
    return list(zip(roster.students[::2], roster.students[1::2], strict=False))


def _said(students: tuple[Student, Student]) -> str:
    one, other = students
    return f"{one.name} helped {other.name.split()[0]}; {other.id} was quiet"


def met_in(rounds: tuple[Round, ...]) -> dict[tuple[str, str], int]:
    """How often each two met."""
    return dict(ledger_of(rounds).meetings)
