"""Lessons as iCalendar: read back, and its lines as RFC 5545 has them, which the library that writes them keeps to."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.files.calendar import Event, calendar_text
from grouper.files.store import ClassFile
from grouper.model.texts import shown
from tests.games.conftest import STUDENTS, Run

STAMP = datetime(2031, 1, 2, 3, 4, 5, tzinfo=UTC)

texts = st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n"), max_size=120)


def events(path: Path) -> list[icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    found = calendar.walk("VEVENT")
    assert calendar["VERSION"] == "2.0" and calendar["PRODID"]
    assert not any(event.errors for event in found)
    return [event for event in found if isinstance(event, icalendar.Event)]


def test_each_lesson_with_a_date_is_an_event_of_the_whole_day(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """Three of four lessons have a date; the end of an all-day event is the next day (RFC 5545, 3.6.1)."""
    ran = run("calendar", "7b.class", "--to", "u.ics")
    assert ran.status == 0 and "3 lessons written" in ran.out and "1 lesson without a date" in ran.out
    found = events(tmp_path / "u.ics")
    assert [event["DTSTART"].dt for event in found] == [date(2031, 3, 3), date(2031, 3, 10), date(2031, 3, 24)]
    assert all(event["DTEND"].dt - event["DTSTART"].dt == timedelta(days=1) for event in found)
    assert str(found[0]["SUMMARY"]) == "7b, lesson 1: Passing, Games"


def test_with_a_start_it_has_hours(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """From the clock of the school, in no time zone; as long as given."""
    run("calendar", "7b.class", "--to", "u.ics", "--start", "09:50", "--minutes", 45, "--place", "Hall 2; east, left")
    event = events(tmp_path / "u.ics")[0]
    assert event["DTSTART"].dt == datetime(2031, 3, 3, 9, 50)
    assert event["DTEND"].dt == datetime(2031, 3, 3, 10, 35)
    assert str(event["LOCATION"]) == "Hall 2; east, left"


def test_without_minutes_a_lesson_takes_what_its_activities_take(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """Two rounds of 4 and one of 40 are 48 minutes (by hand)."""
    run("calendar", "7b.class", "--to", "u.ics", "--start", "09:50")
    event = events(tmp_path / "u.ics")[0]
    assert event["DTEND"].dt - event["DTSTART"].dt == timedelta(minutes=48)


def test_written_again_it_is_the_same_bytes(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """The stamp is the last change of the class file, or what is given: no clock has a say."""
    for name in ("one.ics", "other.ics"):
        run("calendar", "7b.class", "--to", name)
    assert (tmp_path / "one.ics").read_bytes() == (tmp_path / "other.ics").read_bytes()
    run("calendar", "7b.class", "--to", "u.ics", "--stamp", "2031-01-02T03:04:05Z")
    assert {event["DTSTAMP"].dt for event in events(tmp_path / "u.ics")} == {STAMP}


def test_events_are_known_again_after_a_change(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """What is planned in a lesson changes its text and not its UID; another class has other UIDs."""
    run("calendar", "7b.class", "--to", "before.ics")
    run("games", "7b.class", "--lesson", 1, "--activity", "Games", "--courts", 2)
    run("calendar", "7b.class", "--to", "after.ics")
    run("calendar", "7b.class", "--to", "other.ics", "--name", "7c")
    before, after, other = (events(tmp_path / f"{name}.ics") for name in ("before", "after", "other"))
    assert "games of 6 teams on 2 courts" in str(after[0]["DESCRIPTION"])
    assert [event["UID"] for event in before] == [event["UID"] for event in after]
    assert len({event["UID"] for event in (*before, *other)}) == 6


def test_no_student_is_in_it(run: Run, file: ClassFile, tmp_path: Path) -> None:
    """A calendar leaves the machine: neither names nor ids nor strands are in it."""
    run("calendar", "7b.class", "--to", "u.ics")
    text = (tmp_path / "u.ics").read_text(encoding="utf-8")
    assert not any(student in text for student in STUDENTS) and "Pupil" not in text and "throw" not in text


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("--start", "25:00"), "no time of the day"),
        (("--minutes", -5), "cannot be"),
        (("--stamp", "yesterday"), "no moment"),
    ],
)
def test_bad_input_is_refused(run: Run, file: ClassFile, arguments: tuple[object, ...], word: str) -> None:
    """Exit status 2 and what to write."""
    ran = run("calendar", "7b.class", "--to", "u.ics", *arguments)
    assert ran.status == 2 and word in ran.err


@given(summary=texts, description=texts, place=texts)
def test_any_text_is_read_back(summary: str, description: str, place: str) -> None:
    """Commas, semicolons, backslashes, line ends and letters of any script come through, without hidden signs."""
    event = Event("uid-1", date(2031, 3, 3), summary, description, place)
    (found,) = icalendar.Calendar.from_ical(calendar_text([event], STAMP)).walk("VEVENT")
    assert str(found["SUMMARY"]) == shown(summary)
    assert str(found.get("DESCRIPTION", "")) == shown(description)
    assert str(found.get("LOCATION", "")) == shown(place)


@given(summary=texts)
def test_lines_have_75_octets_at_most_and_end_in_crlf(summary: str) -> None:
    """RFC 5545, 3.1: CRLF after each line and nowhere a lone CR or LF; each line is UTF-8 by itself, no letter cut."""
    data = calendar_text([Event("uid-1", date(2031, 3, 3), summary)], STAMP).encode("utf-8")
    lines = data.split(b"\r\n")
    assert lines[-1] == b"" and not any(b"\r" in line or b"\n" in line for line in lines)
    assert all(len(line) <= 75 for line in lines)
    assert "".join(line.decode("utf-8") for line in lines).startswith("BEGIN:VCALENDAR")


def test_an_event_with_a_start_needs_a_length() -> None:
    """There is no event of no time."""
    with pytest.raises(InputError, match="how many minutes"):
        Event("uid-1", date(2031, 3, 3), "Lesson", start=time(9, 50))
