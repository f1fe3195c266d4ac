"""Commands run as a teacher types them, in a folder of their own, on an invented class of 24."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from grouper.faces.cli.entry import main
from grouper.files.store import ClassFile
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

STUDENTS = tuple(f"s{number:02}" for number in range(1, 25))


@dataclass(frozen=True)
class Ran:
    """What a command ended with: exit status, and the lines that it wrote."""

    status: int
    out: str
    err: str


Run = Callable[..., Ran]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command in the test's own folder."""
    monkeypatch.chdir(tmp_path)

    def ran(*arguments: object) -> Ran:
        with pytest.raises(SystemExit) as ended:
            main([str(argument) for argument in arguments])
        written = capsys.readouterr()
        return Ran(int(str(ended.value.code)), written.out, written.err)

    return ran


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A class file with groups: games in lessons 1, 3 and 4, stations in lesson 2."""
    made = ClassFile(tmp_path / "7b.class")
    made.create(class_of_24(), "plan")
    return made


def class_of_24() -> ClassRecord:
    """Six teams in lessons 1 and 3, the same people; other people in lesson 4; eight groups of three in lesson 2."""
    teams = Activity("Games", groups=6, minutes=40)
    unit = Unit(
        (
            Lesson(1, (Activity("Passing", size=2, rounds=2, minutes=4), teams), "2031-03-03"),
            Lesson(2, (Activity("Stations", size=3, minutes=30),), "2031-03-10"),
            Lesson(3, (Activity("Games", aim="stay"),)),
            Lesson(4, (teams,), "2031-03-24"),
        )
    )
    roster = Roster(
        tuple(Student(id_, f"Pupil {id_}", {"throw": 1.0 + int(id_[1:]) % 5}) for id_ in STUDENTS), ("throw",)
    )
    sizes = {"Passing": 2, "Games": 4, "Stations": 3}
    rounds = tuple(_round(key, sizes[unit.activity(key).name], turn=key.lesson == 4) for key in unit.keys)
    return ClassRecord(roster, unit, plan=Plan(rounds))


def _round(key: RoundKey, size: int, turn: bool) -> Round:
    """Neighbours in groups; turned by half a group where others are wanted."""
    order = STUDENTS[::-1][2:] + STUDENTS[::-1][:2] if turn else STUDENTS
    groups = tuple(Group(str(n // size + 1), order[n : n + size]) for n in range(0, len(order), size))
    return Round(key, groups, groups)


def rows(path: Path) -> list[dict[str, str]]:
    """The rows of a CSV file by header."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
