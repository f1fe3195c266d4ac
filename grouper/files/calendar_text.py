"""Events as the text of an iCalendar file (RFC 5545)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

from grouper.errors import InputError
from grouper.files.atomic import write_whole
from grouper.model.texts import shown

LINE = 75
"""Octets of a content line at most, its end not counted (RFC 5545, 3.1)."""


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
        if self.start is not None and not (self.minutes and self.minutes > 0):
            raise InputError(f"'{self.summary}' has a start and no length; say how many minutes it takes")


def calendar_text(events: Iterable[Event], stamp: datetime) -> str:
    """The whole file; ``stamp`` (with a time zone) is written as the time of the last change of each event."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//grouper//lessons//EN", "CALSCALE:GREGORIAN"]
    for event in events:
        lines += _event(event, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def write_calendar(path: Path, events: Iterable[Event], stamp: datetime) -> None:
    """Write the file, whole or not at all (InputError where it cannot be written)."""
    write_whole(Path(path), calendar_text(events, stamp).encode("utf-8"))


def _event(event: Event, stamp: datetime) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_escaped(event.uid)}"
    yield f"DTSTAMP:{stamp.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield from _span(event)
    yield f"SUMMARY:{_escaped(event.summary)}"
    if event.description:
        yield f"DESCRIPTION:{_escaped(event.description)}"
    if event.place:
        yield f"LOCATION:{_escaped(event.place)}"
    yield "END:VEVENT"


def _span(event: Event) -> Iterator[str]:
    """All day, without blocking the day for other things; or from a time of the clock, in no time zone."""
    if event.start is None:
        yield f"DTSTART;VALUE=DATE:{_day(event.day)}"
        yield f"DTEND;VALUE=DATE:{_day(event.day + timedelta(days=1))}"
        yield "TRANSP:TRANSPARENT"
    else:
        start = datetime.combine(event.day, event.start)
        yield f"DTSTART:{_moment(start)}"
        yield f"DTEND:{_moment(start + timedelta(minutes=event.minutes or 0.0))}"


def _day(day: date) -> str:
    return f"{day.year:04}{day.month:02}{day.day:02}"


def _moment(moment: datetime) -> str:
    return f"{_day(moment.date())}T{moment:%H%M%S}"


def _escaped(text: str) -> str:
    r"""A text value (RFC 5545, 3.3.11); signs that no text may hold are left out.

    >>> _escaped("Passing, then games; hall 2\nBring bibs")
    'Passing\\, then games\\; hall 2\\nBring bibs'
    """
    lines = shown(text)
    for sign, written in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        lines = lines.replace(sign, written)
    return "".join(char for char in lines if char == "\t" or (char >= " " and char != "\x7f"))


def _folded(line: str) -> str:
    """The line in pieces of at most 75 octets; no letter is cut in two."""
    pieces, piece, used = [], "", 0
    for char in line:
        octets = len(char.encode("utf-8", "replace"))
        if used + octets > LINE:
            pieces.append(piece)
            piece, used = " ", 1
        piece, used = piece + char, used + octets
    return "\r\n".join([*pieces, piece])
