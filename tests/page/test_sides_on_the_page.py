"""Sides that differ on purpose: typed in a lesson's form, and fewer or more of them at a tap at the door."""

from __future__ import annotations

from pathlib import Path

import pytest
from builders import record_of, roster_of

from grouper.errors import InputError
from grouper.faces.page.lessons import lesson_from
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.plan import plan_unit

from .clients import NAME, House

TYPED = {"name-0": "Attack", "kind-0": "size", "people-0": "2", "rounds-0": "2", "minutes-0": "6", "aim-0": "fresh"}


def test_sides_go_before_the_number_of_people() -> None:
    """The form still shows the number; an edge counts for even sides alone."""
    lesson = lesson_from(1, {**TYPED, "sides-0": " 3 v 5 ", "edge-0": "20"}, 1)
    assert lesson.activities == (Activity("Attack", rounds=2, minutes=6.0, sides="5+3"),)
    even = {**TYPED, "aim-0": "balanced", "strand-0": "skill", "sides-0": "5+3", "edge-0": "20"}
    assert lesson_from(1, even, 1).activities[0].edge == 20
    assert lesson_from(1, {**TYPED, "sides-0": ""}, 1).activities[0].size == 2


@pytest.mark.parametrize("sides", ["5", "five against three", "5+0"])
def test_what_names_no_sides_is_said(sides: str) -> None:
    """And the lesson stays as it was."""
    with pytest.raises(InputError):
        lesson_from(1, {**TYPED, "sides-0": sides}, 1)


def test_fewer_and_more_at_the_door(tmp_path: Path) -> None:
    """A tap makes teams of six into five, sides of 5+3 into 6+4; what was done is in words without anybody's name."""
    record = plan_unit(record_of(roster_of(24), Activity("Game", groups=6)), effort="quick").record

    def tapped(**fields: str) -> tuple[ClassRecord, str]:
        answer = teacher.post(f"/c/{NAME}/lesson/1/groups", house.form(activity="Game", **fields))
        found = house.file.read()
        assert answer.status_code == 303 and found.last is not None
        return found.record, found.last.what

    house = House(tmp_path, record)
    teacher = house.teacher()
    fewer, said = tapped(step="fewer")
    assert len(fewer.plan.rounds[0].groups) == 5 and said == "lesson 1, Game: fewer, larger groups"
    tapped(step="more")
    more, _ = tapped(step="more")
    assert len(more.plan.rounds[0].groups) == 7
    sided, said = tapped(sides="5+3")
    assert sided.plan.rounds[0].sizes == (5, 5, 5, 3, 3, 3) and said.endswith("5+3")
    assert tapped(step="fewer")[0].lesson(1).activities[0].sides == "6+4"
