"""Which rounds have begun, as the students' screen showed them: beside the record, as it is no change of the teacher's.

It holds on the day on which it was shown. On later days it holds only where that day is the date of the lesson: else
somebody has tried the screen, and the lesson is still to come.
"""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import date

from grouper.model.record import ClassRecord


def today() -> str:
    """The date as ``YYYY-MM-DD``."""
    return date.today().isoformat()


def begin(database: sqlite3.Connection, lesson: int, place: int) -> None:
    """Keep the last round of a lesson that has begun today, in the place of what was kept before; 0 for none."""
    database.execute("DELETE FROM begun WHERE lesson = ?", (lesson,))
    if place > 0:
        database.execute("INSERT INTO begun VALUES (?, ?, ?)", (lesson, place, today()))


def begin_anew(database: sqlite3.Connection) -> None:
    """Another unit: its lessons go by the numbers of those that are over, and none of them has begun."""
    database.execute("DELETE FROM begun")


def with_begun(database: sqlite3.Connection, record: ClassRecord) -> ClassRecord:
    """The record with the rounds that have begun; those of lessons that have been taught need no word."""
    dates = {lesson.number: lesson.date for lesson in record.unit.lessons if lesson.number not in record.taught}
    rows = database.execute("SELECT lesson, place, date FROM begun ORDER BY lesson").fetchall()
    if any(type(place) is not int or place < 1 for _, place, _ in rows):
        raise ValueError("begun holds a 'place' of another kind")
    begun = {lesson: place for lesson, place, on in rows if lesson in dates and on in (today(), dates[lesson])}
    return replace(record, begun=begun) if begun else record
