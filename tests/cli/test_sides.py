"""Sides that differ on purpose through the commands and their tables."""

from __future__ import annotations

import csv
import json
from collections import Counter
from pathlib import Path

import pytest

from .shell import grouper

HEADER = "lesson,activity,size,groups,rounds,minutes,aim,strand,sides,edge"
ROWS = (
    "1,Attack,,,2,6,,,5+3,",
    "1,Overload,,,1,6,balanced,skill,5+3,-20",
    "2,Floater,,,2,5,balanced,skill,4+4+1,",
)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Twenty-four students rated 1 to 5, and two lessons with sides."""
    roster, lessons, made = tmp_path / "roster.csv", tmp_path / "lessons.csv", tmp_path / "7b.class"
    people = [f"k{number:02},Kid {number:02},{1 + number % 5}" for number in range(24)]
    roster.write_text("\n".join(("student_id,name,skill", *people)))
    lessons.write_text("\n".join((HEADER, *ROWS)))
    grouper("plan", made, "--roster", roster, "--lessons", lessons)
    return made


def groups_of(file: Path) -> list[dict[str, str]]:
    out = file.with_name("groups.csv")
    grouper("export", file, "--groups", out)
    with out.open(newline="") as rows:
        return list(csv.DictReader(rows))


def sizes(rows: list[dict[str, str]], lesson: str, activity: str, number: str) -> list[int]:
    place = (lesson, activity, number)
    here = [row["group"] for row in rows if (row["lesson"], row["activity"], row["round"]) == place]
    return sorted(Counter(here).values(), reverse=True)


def test_sides_are_planned_exported_and_read_again(file: Path) -> None:
    """Three games of five against three; what is exported as CSV or XLSX is the same table of lessons."""
    rows = groups_of(file)
    assert sizes(rows, "1", "Attack", "1") == [5, 5, 5, 3, 3, 3]
    assert sizes(rows, "2", "Floater", "2") == [4] * 6, "24 fill three games without a floater"
    for name in ("again.csv", "again.xlsx"):
        table, again = file.with_name(name), file.with_name(f"{name}.class")
        grouper("export", file, "--table", "lessons", "--to", table)
        grouper("plan", again, "--roster", file.with_name("roster.csv"), "--lessons", table)
        first, second = file.with_name("first.csv"), file.with_name("second.csv")
        for made, to in ((file, first), (again, second)):
            grouper("export", made, "--table", "lessons", "--to", to)
        assert first.read_text() == second.read_text() and "5+3" in first.read_text()


def test_a_floater_is_called_so_and_comes_with_who_is_there(file: Path) -> None:
    """With one away 23 have a floater in one of three games; back again nobody is one."""
    grouper("absent", file, "--lesson", 2, "k00")
    rows = groups_of(file)
    for number in ("1", "2"):
        assert sizes(rows, "2", "Floater", number) == [4, 4, 4, 4, 3, 3, 1]
        floating = [row for row in rows if row["role"] == "floater" and row["round"] == number]
        assert len(floating) == 1
    grouper("present", file, "--lesson", 2, "k00")
    assert not [row for row in groups_of(file) if row["role"]]


def test_fairness_tells_turns_on_the_smaller_side(file: Path) -> None:
    """Two rounds with nine of 24 on the smaller side: nobody is there twice; sides are even by their totals."""
    found = json.loads(grouper("fairness", file, "--json").out)
    rows = [row for row in groups_of(file) if row["activity"] == "Attack"]
    together = Counter((row["round"], row["group"]) for row in rows)
    small = Counter(row["student_id"] for row in rows if together[row["round"], row["group"]] == 3)
    assert max(small.values()) == 1 and {k: v for k, v in found["side_turns"].items() if v} == dict(small)
    said = grouper("fairness", file).out
    assert "Smaller side" in said and "totals" in said and "averages of" not in said


def test_sides_that_make_no_sense_are_refused_by_name(file: Path) -> None:
    """Exit status 2, with row, column and what to write; the class file is what it was."""
    table = file.with_name("bad.csv")
    table.write_text(f"{HEADER}\n1,Attack,,,2,6,,,5 against nobody,")
    before = file.read_bytes()
    said = grouper("plan", file, "--lessons", table, status=2).all
    assert "row 2" in said and "sides" in said and "5+3" in said
    assert file.read_bytes() == before
