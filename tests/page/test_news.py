"""What a class file has to tell by itself is told once, to the teacher: on the page, or on a command's error stream."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from builders import class_of

from grouper.model.unit import Activity
from grouper.planning.plan import plan_unit
from tests.cli.shell import grouper
from tests.sheets.examples import every_aim

from .clients import NAME, House
from .serving import ROOT

OLD = "old.class"
CUT = "1 x name of a student, cut at 100 letters; old.class.form3-1.backup has it still"


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A file of an earlier form with a name that is too long today."""
    path = tmp_path / OLD
    with closing(sqlite3.connect(path)) as database:
        database.executescript((ROOT / "tests" / "store" / "form3.sql").read_text(encoding="utf-8"))
        database.execute("UPDATE student SET name = printf('%.*c', 300, 'x') WHERE key = 2")
        database.commit()
    return path


def test_a_command_says_it_once(old: Path) -> None:
    """On the error stream, so that a table or JSON on the other stays what it is."""
    first, second = (grouper("fairness", old, "--json") for _ in range(2))
    assert CUT in first.err and CUT not in first.out
    assert CUT not in second.err and first.out == second.out


def test_the_page_says_it_once_and_never_in_sight_of_students(old: Path, tmp_path: Path) -> None:
    """At the door, which students may see, not; on the next page of the teacher's, and then no more."""
    house = House(tmp_path, every_aim())
    teacher = house.teacher()
    assert CUT not in teacher.get(f"/c/{OLD}/lesson/3").text
    assert CUT in teacher.get(f"/c/{OLD}/unit").text
    assert CUT not in teacher.get(f"/c/{OLD}/unit").text and CUT not in teacher.get(f"/c/{NAME}/unit").text


def test_the_door_names_play_that_is_for_other_groups_than_there_are_now(tmp_path: Path) -> None:
    """Two of five go, and one team of two is gone: the games planned before are named, until they are back."""
    record = plan_unit(class_of(5, Activity("Cup", size=2)), effort="quick").record
    house = House(tmp_path, record)
    grouper("games", house.file.path, "--lesson", 1, "--courts", 1)
    teacher, door = house.teacher(), f"/c/{NAME}/lesson/1"
    said = "of &#39;Cup&#39; in lesson 1 are for other teams than there are now; plan them under &#39;Games&#39;"
    assert said not in teacher.get(door).text
    for student in ("s01", "s02"):
        teacher.post(f"{door}/tap", house.form(student=student, tap="away", since="1"))
    assert said in teacher.get(door).text
    for student in ("s01", "s02"):
        teacher.post(f"{door}/tap", house.form(back=student, since="1"))
    assert said not in teacher.get(door).text
