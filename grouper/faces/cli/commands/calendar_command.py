"""``grouper calendar``: the lessons that have dates, for a calendar."""

from __future__ import annotations

from datetime import UTC, datetime, time
from pathlib import Path

import click

from grouper.errors import InputError
from grouper.faces.cli.common import MINUTES, class_argument
from grouper.faces.cli.play_options import FileOf
from grouper.files.calendar import Hours, lesson_events, write_calendar
from grouper.files.store import ClassFile
from grouper.model.texts import check_length
from grouper.model.unit import check_date
from grouper.words import counted


@click.command()
@class_argument
@click.option("--to", "path", type=FileOf(".ics"), required=True, metavar="FILE.ics", help="Where to write.")
@click.option("--start", metavar="HH:MM", help="When lessons begin; all day if left out.")
@click.option("--minutes", type=MINUTES, metavar="M", help="How long lessons are; as planned if left out.")
@click.option("--place", default="", metavar="TEXT", help="Where lessons are held.")
@click.option("--name", metavar="TEXT", help="What the class is called; the name of the class file if left out.")
@click.option("--stamp", metavar="TIME", help="When it was last changed, such as 2026-09-01T08:00:00Z.")
def command(
    class_path: Path,
    path: Path,
    start: str | None,
    minutes: float | None,
    place: str,
    name: str | None,
    stamp: str | None,
) -> None:
    """Write the lessons that have dates as an iCalendar file; no student's name is in it.

    Written again, it renews the same events: they are known by the name of the class and the number of the lesson.
    """
    file = ClassFile(class_path)
    record = file.read().record
    check_length(name or "", "the name of the class")
    check_length(place, "the place")
    hours = Hours(None if start is None else _clock(start), minutes, place)
    events = lesson_events(record, name or class_path.stem, hours)
    write_calendar(path, events, _moment(stamp) if stamp is not None else file.history()[-1].at)
    left_out = len(record.unit.lessons) - len(events)
    click.echo(f"{counted(len(events), 'lesson')} written to {path}.")
    if left_out:
        click.echo(f"{counted(left_out, 'lesson')} without a date left out.")


def _clock(text: str) -> time:
    try:
        return time.fromisoformat(text)
    except ValueError as error:
        raise InputError("'{text}' is no time of the day", "write it as 09:50", text=text) from error


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise InputError("'{text}' is no moment", "write it as 2026-09-01T08:00:00Z", text=text) from error
    check_date(moment.date().isoformat(), "the stamp")
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
