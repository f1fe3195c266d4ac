"""What is written of a class: how fair it is, a report, tables, a calendar; and the workbook to begin with."""

from __future__ import annotations

import json
from datetime import UTC, datetime, time
from pathlib import Path

import click

from grouper.errors import InputError, require
from grouper.faces.cli.common import MINUTES, FileOf, class_argument, file_type, show, student_meant
from grouper.faces.wording.fairness import fairness_data, summary_lines
from grouper.faces.wording.words import clean
from grouper.files.calendar import Hours, lesson_events, write_calendar
from grouper.files.groups import write_groups
from grouper.files.store import ClassFile
from grouper.files.writing import write_template
from grouper.model.record import ClassRecord
from grouper.model.texts import check_length
from grouper.model.unit import check_date
from grouper.planning.fairness import fairness_of, weighed_of
from grouper.words import Remedy, counted

LONG = 100.0
"""Of CP-SAT's deterministic time, for a proof that somebody waits for: one or two minutes."""


@click.command()
@class_argument
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
@click.option("--prove", is_flag=True, help="Search longer for a proof that no plan is better: up to some minutes.")
def fairness_command(class_path: Path, as_json: bool, prove: bool) -> None:
    """Show how fair the plan is, taught lessons included, beside what no plan can beat."""
    record = ClassFile(class_path).read().record
    require(bool(record.unit.lessons), "the class has no lessons yet", Remedy.NAME_LESSONS)
    fairness = fairness_of(record, LONG) if prove else fairness_of(record)
    together = weighed_of(record) if prove else None
    if as_json:
        click.echo(json.dumps(clean(fairness_data(record, fairness, together)), ensure_ascii=False, indent=2))
    else:
        show(summary_lines(record, fairness, together))


@click.command()
@class_argument
@click.option("--to", "path", type=FileOf(".html", ".htm"), required=True, metavar="FILE.html", help="The file.")
@click.option("--nameless", is_flag=True, help="Without names, to share.")
@click.option("--whole", is_flag=True, help="The whole unit, lessons to come included.")
@click.option("--student", metavar="STUDENT", help="One student's page for the parents; nobody else is in it.")
@click.option("--ratings", is_flag=True, help="With the student's own ratings.")
def report_command(
    class_path: Path, path: Path, nameless: bool, whole: bool, student: str | None, ratings: bool
) -> None:
    """Write a report to print: how fair it was, who met whom, turns, attendance, and whom to look after next.

    It covers the lessons taught, or the whole unit as long as none has been.
    """
    from grouper.faces.sheets.report import report_text, student_text, write_page

    if student is not None and nameless:
        raise click.UsageError("--student and --nameless cannot go together")
    if ratings and student is None:
        raise click.UsageError("--ratings goes with --student; a report on the class shows nobody's ratings")
    record = ClassFile(class_path).read().record
    if student is not None:
        text = student_text(record, student_meant(record.roster, student), class_path.stem, whole, ratings)
    else:
        text = report_text(record, class_path.stem, whole, with_names=not nameless)
    write_page(text, path)
    click.echo(f"Written: {path}")


@click.command()
@click.argument("classes", metavar="CLASS...", nargs=-1, required=True, type=file_type)
@click.option("--groups", type=FileOf(".csv"), metavar="FILE.csv", help="Write the groups of the unit here.")
@click.option("--table", "names", multiple=True, metavar="NAME", help="Write this table; may be given more than once.")
@click.option(
    "--to", type=FileOf(".csv", ".xlsx"), metavar="FILE", help="Where: FILE.csv, or FILE.xlsx with a sheet a table."
)
def export_command(classes: tuple[Path, ...], groups: Path | None, names: tuple[str, ...], to: Path | None) -> None:
    """Write what class files hold as tables, for a spreadsheet or another program.

    The tables are roster, lessons, requests, groups, meetings, attendance, absences, turns, fairness, results and
    scores; docs/scripting.md says what their columns mean. With several class files a first column names the class.
    """
    if groups is not None and (names or to is not None or len(classes) > 1):
        raise click.UsageError("--groups goes with one class and by itself; for more use --table and --to")
    if groups is not None:
        write_groups(groups, ClassFile(classes[0]).read().record)
        click.echo(f"Groups written to {groups}.")
        return
    if not names or to is None:
        raise click.UsageError("say which table and where to, such as --table attendance --to attendance.csv")
    records: dict[str, ClassRecord] = {}
    for path in classes:
        # Two folders may each hold a 7b.class: then the whole path tells them apart.
        name = path.stem if sum(other.stem == path.stem for other in classes) == 1 else str(path)
        records[name] = ClassFile(path).read().record
    rows = _write_tables(records, names, to)
    click.echo(f"{counted(rows, 'row', 'rows')} written to {to}.")


def _write_tables(records: dict[str, ClassRecord], names: tuple[str, ...], to: Path) -> int:
    """Write the tables and say how many rows, the headers left out."""
    from grouper.faces.views.tables import TABLES, table_rows
    from grouper.files.writing import write_csv, write_workbook

    unknown = [name for name in names if name not in TABLES]
    if unknown:
        there = ", ".join(TABLES)
        raise InputError("there is no table '{unknown}'", "there are {tables}", unknown=unknown[0], tables=there)
    kind = to.suffix.lower()
    if kind not in (".csv", ".xlsx"):
        raise InputError("{to} is neither CSV nor XLSX", "give a name that ends in .csv or .xlsx", to=to)
    if kind == ".csv" and len(names) > 1:
        raise InputError("a CSV file holds one table; give FILE.xlsx for several, a sheet each")
    tables = {name: table_rows(TABLES[name], records) for name in names}
    if kind == ".csv":
        write_csv(to, [tuple(_text(cell) for cell in row) for row in tables[names[0]]])
    else:
        sheets = {}
        for name, rows in tables.items():
            sheets[name] = [tuple("" if cell is None else cell for cell in row) for row in rows]
        write_workbook(to, sheets)
    return sum(len(rows) - 1 for rows in tables.values())


def _text(cell: str | int | float | None) -> str:
    if isinstance(cell, float):
        return f"{cell:g}"
    return "" if cell is None else str(cell)


@click.command()
@class_argument
@click.option("--to", "path", type=FileOf(".ics"), required=True, metavar="FILE.ics", help="Where to write.")
@click.option("--start", metavar="HH:MM", help="When lessons begin; all day if left out.")
@click.option("--minutes", type=MINUTES, metavar="M", help="How long lessons are; as planned if left out.")
@click.option("--place", default="", metavar="TEXT", help="Where lessons are held.")
@click.option("--name", metavar="TEXT", help="What the class is called; the name of the class file if left out.")
@click.option("--stamp", metavar="TIME", help="When it was last changed, such as 2026-09-01T08:00:00Z.")
def calendar_command(
    class_path: Path,
    path: Path,
    start: str | None,
    minutes: float | None,
    place: str,
    name: str | None,
    stamp: str | None,
) -> None:
    """Write the lessons that have dates as an iCalendar file; no student's name is in it.

    Write it again after a change, and the calendar updates the same events: it knows them by class and lesson number.
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


@click.command()
@click.argument("file", metavar="FILE.xlsx", type=file_type, default=Path("class.xlsx"))
def template_command(file: Path) -> None:
    """Write an empty workbook with the sheets roster, lessons and requests, and an example in each."""
    if file.exists():
        raise click.UsageError(f"{file} is there already; give another name")
    write_template(file)
    click.echo(f"Fill in {file}, then: grouper plan CLASS --roster {file}")
