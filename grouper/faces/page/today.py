"""Which lesson a teacher means when the page is opened."""

from __future__ import annotations

from datetime import date

from grouper.model.record import ClassRecord


def lesson_of_the_day(record: ClassRecord, today: date) -> int | None:
    """The lesson of today, else the next one that has not been taught, else the last; None without any.

    A lesson of today that has been taught already gives way to another of today.
    """
    lessons = record.unit.lessons
    if not lessons:
        return None
    of_today = [lesson.number for lesson in lessons if lesson.date == today.isoformat()]
    still_open = [lesson.number for lesson in lessons if lesson.number not in record.taught]
    for choice in ([n for n in of_today if n in still_open], of_today, still_open):
        if choice:
            return choice[0]
    return lessons[-1].number
