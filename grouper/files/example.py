"""The invented classes that come along: for ``grouper demo``, and as a class to try on the page."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

from grouper.errors import InputError
from grouper.files.lessons import read_lessons
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import Unit

TO_TRY = "odd"
"""The class that the page offers."""


def demo_folder() -> Path:
    """Where the invented classes are: in the installed package, or beside it in a checkout.

    Raises
    ------
    InputError
        They were not installed.
    """
    package = Path(__file__).parents[1]
    for folder in (package / "rosters_demo", package.parent / "rosters_demo"):
        if folder.is_dir():
            return folder
    raise InputError("the demo classes are not installed; get the whole project")


def example_class(first: date | None = None) -> ClassRecord:
    """A class to try: an odd number of students, eight lessons, some requests, and no groups yet.

    ``first`` is the day of its first lesson, with the others as long after it as they are in the tables.
    """
    tables = demo_folder() / TO_TRY
    roster = read_roster(tables / "roster.csv").roster
    lessons = read_lessons(tables / "lessons.csv", roster).unit.lessons
    numbers = tuple(lesson.number for lesson in lessons)
    requests = read_requests(tables / "requests.csv", roster, numbers).requests
    if first is not None:
        days = [date.fromisoformat(lesson.date) for lesson in lessons]
        later = [(first + (day - days[0])).isoformat() for day in days]
        lessons = tuple(replace(lesson, date=day) for lesson, day in zip(lessons, later, strict=True))
    return ClassRecord(roster, Unit(lessons), requests)


def is_example(roster: Roster) -> bool:
    """Whether a class is the one to try, whatever was done with it: most of the invented students are in it.

    Nobody real has both the id and the name of one of them, so that no real class is ever taken for it.
    """
    here = {(student.id, student.name) for student in roster.students}
    return 2 * len(_invented() & here) > len(_invented())


@cache
def _invented() -> frozenset[tuple[str, str]]:
    """The ids and names of the class to try, kept: to read its tables takes longer than to read a class file."""
    return frozenset((student.id, student.name) for student in example_class().roster.students)
