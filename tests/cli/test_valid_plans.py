"""Plans of many classes are valid, and their fairness is what an outsider counts."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from .outside import Seen, counts, faults
from .shell import grouper
from .tables import REQUESTS, ClassOnDisk, a_class, activity, rows_of, write_rows

AIMS = ("fresh", "balanced", "coaching", "similar")
TOGETHER = (2, 3)
"""First and last lesson of a request in the classes drawn at random."""


def assert_valid_and_counted(seen: Seen) -> None:
    """No fault in the groups, and ``fairness --json`` agrees with the count from outside."""
    assert faults(seen) == []
    said = json.loads(grouper("fairness", seen.disk.file, "--json").out)
    own = counts(seen)
    assert said["repeats"] == own.repeats
    assert said["meeting_cost"] == own.meeting_cost
    assert said["partners"] == own.partners
    assert said["fewest_partners"] == min(own.partners.values(), default=0)
    assert said["most_meetings"] == own.most_meetings
    assert [row["spread"] for row in said["spreads"]] == pytest.approx(own.spreads, abs=1e-6)
    assert {student: turns for student, turns in said["trio_turns"].items() if turns} == own.trio_turns
    assert {student: turns for student, turns in said["coach_turns"].items() if turns} == own.coach_turns
    assert said["breaches"] == 0
    assert said["repeats_bound"] <= own.repeats
    assert said["meeting_cost_bound"] <= own.meeting_cost


@pytest.mark.parametrize("students", [1, 2, 3, 8, 11, 23])
@pytest.mark.parametrize("aim", AIMS)
def test_every_aim_in_every_size(tmp_path: Path, students: int, aim: str) -> None:
    """Sizes 1 to 10 under every aim (coaching in pairs), each followed by a round that stays."""
    sizes = (2,) if aim == "coaching" else range(1, 11)
    rows = [
        row
        for size in sizes
        for row in (activity(size, f"groups of {size}", size, aim=aim), activity(size, "again", aim="stay"))
    ]
    disk = a_class(tmp_path, students, rows)
    disk.plan()
    assert_valid_and_counted(Seen(disk))


@pytest.mark.parametrize("number", range(8))
def test_classes_drawn_at_random(tmp_path: Path, number: int) -> None:
    """Classes of 8 to 60 with mixed activities, teams by number or size, requests and gap windows."""
    draw = random.Random(number)
    students = (8, 9, 15, 22, 29, 31, 45, 60)[number]
    disk = a_class(tmp_path, students, _some_unit(draw), seed=number)
    write_rows(disk.requests, REQUESTS, _some_requests(draw, disk))
    disk.plan("--seed", number)
    assert_valid_and_counted(Seen(disk))


def _some_unit(draw: random.Random) -> Iterator[tuple[object, ...]]:
    for lesson in range(1, 5):
        yield activity(lesson, "start", draw.choice((2, 2, 3, 4, 5)), rounds=draw.randint(1, 3), aim="fresh")
        kind = draw.choice(("teams", "coach", "alike", "number", "alone"))
        if kind == "teams":
            yield activity(lesson, "teams", groups=draw.randint(3, 6), aim="balanced", rounds=2)
        elif kind == "coach":
            yield activity(lesson, "coach", 2, aim="coaching", gaps=(0, 3) if lesson in TOGETHER else (1, 4))
        elif kind == "alike":
            yield activity(lesson, "alike", draw.randint(2, 6), aim="similar")
        elif kind == "number":
            yield activity(lesson, "number", groups=draw.randint(3, 9))
        else:
            yield activity(lesson, "alone", 1)
        if draw.random() < 0.5:
            yield activity(lesson, "end", aim="stay", rounds=draw.randint(1, 2))


def _some_requests(draw: random.Random, disk: ClassOnDisk) -> list[tuple[object, ...]]:
    """A few to keep apart, and two of nearly one rating together in some lessons: there is always a way."""
    rows = rows_of(disk.roster)
    draw.shuffle(rows)
    one, *others = [(row["student_id"], int(row["skill"])) for row in rows]
    near = next(other for other, skill in others if abs(skill - one[1]) <= 3)
    names = [other for other, _ in others if other != near]
    apart = [("apart", names[2 * n], names[2 * n + 1]) for n in range(min(3, len(rows) // 4))]
    return [*apart, ("together", one[0], near, *TOGETHER)]
