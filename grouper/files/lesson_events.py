"""The lessons of a unit as events of a calendar: dates, activities and minutes, and never a name of a student."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from uuid import UUID, uuid5

from grouper.errors import InputError
from grouper.files.calendar_text import Event
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson
from grouper.words import Remedy

NAMESPACE = UUID("6b1d2b0e-3a5f-5c1c-9d0a-7a4f0c9e5b21")
"""A namespace of our own (RFC 9562, 5.5)."""


@dataclass(frozen=True)
class Hours:
    """When lessons start and how long they are (as planned where there is no number), and where they are held."""

    start: time | None = None
    minutes: float | None = None
    place: str = ""

    def __post_init__(self) -> None:
        if self.minutes is not None and not 0 < self.minutes < 24 * 60:
            raise InputError(f"a lesson of {self.minutes:g} minutes cannot be; give more than 0, less than a day")


def lesson_events(record: ClassRecord, class_name: str, hours: Hours) -> tuple[Event, ...]:
    """An event for each lesson that has a date.

    Parameters
    ----------
    record
        The class.
    class_name
        Stands in the titles, and is what an event is known by beside the number of the lesson.
    hours
        When and where.

    Raises
    ------
    InputError
        No lesson has a date, or a lesson has a start and nothing says how long it is.
    """
    dated = [lesson for lesson in record.unit.lessons if lesson.date]
    if not dated:
        raise InputError("no lesson has a date", Remedy.DATE_LESSONS)
    return tuple(_event(record, lesson, class_name, hours) for lesson in dated)


def _event(record: ClassRecord, lesson: Lesson, class_name: str, hours: Hours) -> Event:
    return Event(
        f"urn:uuid:{uuid5(NAMESPACE, f'{class_name} lesson {lesson.number}')}",
        _day(lesson),
        f"{class_name}, lesson {lesson.number}: {', '.join(activity.name for activity in lesson.activities)}",
        "\n".join(_lines(record, lesson)),
        hours.place,
        hours.start,
        None if hours.start is None else _minutes(lesson, hours),
    )


def _day(lesson: Lesson) -> date:
    try:
        return date.fromisoformat(lesson.date)
    except ValueError as error:
        raise InputError(f"lesson {lesson.number}: '{lesson.date}' is no date; write it as 2026-09-14") from error


def _minutes(lesson: Lesson, hours: Hours) -> float:
    """As given, or as the activities take, all of whose minutes are then needed."""
    if hours.minutes is not None:
        return hours.minutes
    known = [a.minutes * a.rounds for a in lesson.activities if a.minutes is not None]
    if len(known) < len(lesson.activities):
        raise InputError(f"it is not known how long lesson {lesson.number} is; say how many minutes lessons take")
    return sum(known)


def _lines(record: ClassRecord, lesson: Lesson) -> Iterator[str]:
    for activity in lesson.activities:
        yield "; ".join((activity.name, *_facts(record, lesson, activity)))


def _facts(record: ClassRecord, lesson: Lesson, activity: Activity) -> Iterator[str]:
    if activity.rounds > 1:
        yield f"{activity.rounds} rounds"
    if activity.minutes:
        yield f"{activity.minutes:g} min" + (" each" if activity.rounds > 1 else "")
    for event in record.events:
        if (event.lesson, event.activity) == (lesson.number, activity.name):
            teams, places = len(event.teams), len(event.places)
            courts = f"games of {teams} teams on {places} court{'s' * (places > 1)}"
            yield courts if event.is_games else f"{teams} groups at {places} stations"
