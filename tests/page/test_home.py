"""The list of classes, a class to try, and the way home from wherever somebody is lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from builders import class_of_eight, pairs, with_plan
from werkzeug.test import TestResponse

from grouper.files.example import example_class
from grouper.files.store import ClassFile
from grouper.model.unit import Unit

from .clients import NAME, House

TODAY = date.today().isoformat()


def page(answer: TestResponse) -> str:
    return answer.get_data(as_text=True)


@pytest.fixture
def house(tmp_path: Path) -> House:
    """A class whose second lesson is today's."""
    record = with_plan(class_of_eight(pairs(), lessons=1), "ana ben | cem dia | eva fin | gil hana")
    (first,) = record.unit.lessons
    return House(tmp_path, replace(record, unit=Unit((first, replace(first, number=2, date=TODAY)))))


def test_the_list_says_todays_lesson_of_each_class(house: House) -> None:
    """Those with a lesson today stand first; a class without lessons says so, and one that cannot be read is named."""
    folder = house.file.path.parent
    ClassFile(folder / "2a.class").create(replace(house.file.read().record, unit=Unit(())), "made")
    (folder / "old.class").write_bytes(b"no class file")
    shown = page(house.teacher().get("/classes"))
    assert "Lesson 2, today, no groups yet" in shown and "8 students, no lessons yet" in shown
    assert shown.index("<bdi>7b</bdi>") < shown.index("<bdi>2a</bdi>")
    assert "not yours to open: old.class" in shown


def test_a_class_to_try_is_made_and_thrown_away(house: House) -> None:
    """It is planned, its first lesson is today's, and it goes after a question; no other class goes like that."""
    teacher = house.teacher()
    assert 'id="try"' in page(teacher.get("/classes"))
    made = teacher.post("/example", house.form())
    assert made.status_code == 303 and made.headers["Location"].endswith("/c/Example.class/")
    file = ClassFile(house.file.path.parent / "Example.class")
    record = file.read().record
    assert record.unit.lessons[0].date == TODAY and record.plan.of_lesson(8)
    shown = page(teacher.get("/classes"))
    assert "invented, to try" in shown and 'id="try"' not in shown
    asked = teacher.post("/example/away", house.form(name="Example.class"))
    assert asked.status_code == 409 and file.exists
    teacher.post("/example/away", house.form(name="Example.class", sure="yes"))
    assert not file.exists
    refused = teacher.post("/example/away", house.form(name=NAME, sure="yes"))
    assert refused.status_code == 400 and house.file.exists


def test_the_class_to_try_can_be_planned_as_it_comes() -> None:
    """Its dates begin where they are asked to, and are as far apart as in the tables that come along."""
    moved, as_written = example_class(date(2026, 9, 1)), example_class()
    days = [[date.fromisoformat(one.date) for one in record.unit.lessons] for record in (moved, as_written)]
    assert days[0][0] == date(2026, 9, 1)
    assert [day - days[0][0] for day in days[0]] == [day - days[1][0] for day in days[1]]


@pytest.mark.parametrize("path", ["/nowhere", "/c/gone.class/unit", f"/c/{NAME}/lesson/9", f"/c/{NAME}/nothing"])
def test_whoever_is_lost_finds_home(house: House, path: str) -> None:
    """What is not there leads to the list of classes; a stranger, and the students' screen, are shown no way."""
    teacher = house.teacher()
    lost = teacher.get(path)
    assert lost.status_code in (400, 404) and f'href="{house.keys.teacher.root}/classes"' in page(lost)
    assert "/classes" not in page(house.stranger().get(house.keys.teacher.root + path))
    assert "/classes" not in page(house.student().get(path))
