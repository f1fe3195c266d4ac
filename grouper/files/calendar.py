"""The lessons of a unit as an iCalendar file (RFC 5545): dates, activities and minutes, never a name of a student."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from uuid import UUID, uuid5

from grouper.errors import require
from grouper.files.atomic import write_whole
from grouper.model.record import ClassRecord
from grouper.model.texts import shown
from grouper.model.unit import Activity, Lesson
from grouper.words import Remedy

NAMESPACE = UUID("6b1d2b0e-3a5f-5c1c-9d0a-7a4f0c9e5b21")
"""A namespace of our own (RFC 9562, 5.5)."""


@dataclass(frozen=True)
class Event:
    """Something in a calendar.

    Parameters
    ----------
    uid
        The same each time the event is written, so that a calendar renews it and does not show it twice.
    day
        When it is.
    summary, description, place
        Texts; the last two may be empty.
    start
        When it begins, as the clock of the school shows it; None for all day.
    minutes
        How long it takes; needed where it has a start.
    """

    uid: str
    day: date
    summary: str
    description: str = ""
    place: str = ""
    start: time | None = None
    minutes: float | None = None

    def __post_init__(self) -> None:
        is_known = self.start is None or (self.minutes is not None and self.minutes > 0)
        what, remedy = "'{summary}' has a start and no length", "say how many minutes it takes"
        require(is_known, what, remedy, summary=self.summary)


@dataclass(frozen=True)
class Hours:
    """When lessons start and how long they are (as planned where there is no number), and where they are held."""

    start: time | None = None
    minutes: float | None = None
    place: str = ""

    def __post_init__(self) -> None:
        what, remedy = "a lesson of {minutes:g} minutes cannot be", "give more than 0, less than a day"
        require(self.minutes is None or 0 < self.minutes < 24 * 60, what, remedy, minutes=self.minutes)


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
    require(bool(dated), "no lesson has a date", Remedy.DATE_LESSONS)
    return tuple(_event(record, lesson, class_name, hours) for lesson in dated)


def _event(record: ClassRecord, lesson: Lesson, class_name: str, hours: Hours) -> Event:
    minutes = hours.minutes
    if hours.start is not None and minutes is None:
        # As the activities take, all of whose minutes are then needed.
        known = [a.minutes * a.rounds for a in lesson.activities if a.minutes is not None]
        unknown, remedy = "it is not known how long lesson {number} is", "say how many minutes lessons take"
        require(len(known) == len(lesson.activities), unknown, remedy, number=lesson.number)
        minutes = sum(known)
    return Event(
        f"urn:uuid:{uuid5(NAMESPACE, f'{class_name} lesson {lesson.number}')}",
        date.fromisoformat(lesson.date),
        f"{class_name}, lesson {lesson.number}: {', '.join(activity.name for activity in lesson.activities)}",
        "\n".join("; ".join(_facts(record, lesson, activity)) for activity in lesson.activities),
        hours.place,
        hours.start,
        None if hours.start is None else minutes,
    )


def _facts(record: ClassRecord, lesson: Lesson, activity: Activity) -> Iterator[str]:
    yield activity.name
    if activity.rounds > 1:
        yield f"{activity.rounds} rounds"
    if activity.minutes:
        yield f"{activity.minutes:g} min" + (" each" if activity.rounds > 1 else "")
    for event in record.events:
        if (event.lesson, event.activity) == (lesson.number, activity.name):
            teams, places = len(event.teams), len(event.places)
            courts = f"games of {teams} teams on {places} court{'s' * (places > 1)}"
            yield courts if event.is_games else f"{teams} groups at {places} stations"


def calendar_text(events: Iterable[Event], stamp: datetime) -> str:
    """The whole file; ``stamp`` (with a time zone) is written as the time of the last change of each event."""
    import icalendar  # takes as long to load as a whole quick command

    calendar = icalendar.Calendar()
    for name, value in (("VERSION", "2.0"), ("PRODID", "-//grouper//lessons//EN"), ("CALSCALE", "GREGORIAN")):
        calendar.add(name, value)
    for event in events:
        made = icalendar.Event()
        made.add("UID", event.uid)
        made.add("DTSTAMP", stamp.astimezone(UTC))
        if event.start is None:
            # All day, without blocking the day for other things.
            made.add("DTSTART", event.day)
            made.add("DTEND", event.day + timedelta(days=1))
            made.add("TRANSP", "TRANSPARENT")
        else:
            # A time of the school's clock, in no time zone.
            start = datetime.combine(event.day, event.start)
            made.add("DTSTART", start)
            made.add("DTEND", start + timedelta(minutes=event.minutes or 0.0))
        made.add("SUMMARY", _text(event.summary))
        for name, value in (("DESCRIPTION", event.description), ("LOCATION", event.place)):
            if value:
                made.add(name, _text(value))
        calendar.add_component(made)
    text: str = calendar.to_ical(sorted=False).decode("utf-8")
    return text


def write_calendar(path: Path, events: Iterable[Event], stamp: datetime) -> None:
    """Write the file, whole or not at all (InputError where it cannot be written)."""
    write_whole(Path(path), calendar_text(events, stamp).encode("utf-8"))


def _text(text: str) -> str:
    """The text without signs that no text of a calendar may hold (RFC 5545, 3.3.11)."""
    return "".join(char for char in shown(text) if char in "\t\n" or (char >= " " and char != "\x7f"))
