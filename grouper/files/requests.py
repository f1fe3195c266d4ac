"""Reading the table of requests: two students to keep apart, or together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, replace

from grouper.errors import InputError
from grouper.files.names import students_named
from grouper.files.notes import Findings, Note
from grouper.files.opening import Source, requests_sheet, table_in
from grouper.files.roster_rows import EXAMPLE_IDS
from grouper.files.table import Row, RowReader, Table, report_unread
from grouper.files.words.headers import KIND_OF_REQUEST, REQUESTS
from grouper.model.request import KINDS, Request
from grouper.model.roster import Roster
from grouper.words import Remedy, filled

_NEEDED = ("kind", "student", "other")


@dataclass(frozen=True)
class RequestsReading:
    """The requests as read, the notes on how, and a summary in one line."""

    requests: tuple[Request, ...]
    notes: tuple[Note, ...]
    summary: str


def read_requests(path: Source, roster: Roster, lessons: Collection[int] = ()) -> RequestsReading:
    """The requests in a CSV file or in a sheet of an XLSX workbook; a column of reasons is never read.

    Where the numbers of the unit's ``lessons`` are known, a request that holds in none of them is told of.

    Raises
    ------
    InputError
        With all troubles of the table, each with its row, column and remedy.
    """
    none = "no sheet holds requests", "name one 'requests', with the headers of the template"
    table, findings = table_in(path, REQUESTS, ("kind", "student"), requests_sheet, none)
    for column in table.columns_of("reason"):
        findings.note("left out", "no reason is kept, as a request concerns two students", column=column.shown)
    # Taken out of the table itself, so that nothing that reads it can come by a reason.
    table = replace(table, columns=tuple(column for column in table.columns if column.meaning != "reason"))
    reader = RowReader(table, findings)
    report_unread(table, REQUESTS, "requests", findings)
    reader.need(_NEEDED, Remedy.SEE_TEMPLATE)
    rows = _without_examples(table, roster, findings)
    found = [(row.number, _request(row, reader, roster)) for row in rows]
    findings.stop_if_troubled()
    whole = [(row, request) for row, request in found if request is not None]
    _report_idle(whole, lessons, findings)
    first: dict[tuple[object, ...], int] = {}
    requests: list[Request] = []
    for row, request in whole:
        same = (request.kind, request.pair, request.first_lesson, request.last_lesson)
        if same in first:
            findings.note("left out", f"the same request as in row {first[same]}", (row,))
        else:
            first[same] = row
            requests.append(request)
    counts = Counter(request.kind for request in requests)
    summary = ", ".join(f"{counts[kind]} {kind}" for kind in KINDS if counts[kind]) or "none"
    return RequestsReading(tuple(requests), findings.notes, summary)


def _without_examples(table: Table, roster: Roster, findings: Findings) -> list[Row]:
    """The rows without those of the template, once its example students are no longer in the roster."""
    done_with = EXAMPLE_IDS[0] not in roster.by_id
    examples = [row for row in table.rows if done_with and set(EXAMPLE_IDS) <= set(row.cells)]
    if examples:
        findings.note("left out", "the example of the template", tuple(row.number for row in examples))
    return [row for row in table.rows if row not in examples]


def _request(row: Row, reader: RowReader, roster: Roster) -> Request | None:
    kind, said = reader.word(row, "kind", KIND_OF_REQUEST), reader.cell(row, "kind")
    if not kind:
        message = f"'{said}' is no kind of request" if said else "the kind of request is missing"
        reader.trouble(row, "kind", message, f"use {' or '.join(KINDS)}")
    student, other = (_student(row, reader, which, roster) for which in ("student", "other"))
    wrong, remedy = "{cell} is no lesson number", "write 1, 2 ..., or leave it empty"
    first, last = (reader.whole(row, which, wrong, remedy) for which in ("first_lesson", "last_lesson"))
    if reader.findings.troubled_in(row.number):
        return None
    try:
        return Request(kind, student, other, first, last)
    except InputError as error:
        reader.findings.trouble(str(error), "change this row", row.number)
        return None



def _student(row: Row, reader: RowReader, which: str, roster: Roster) -> str:
    cell = reader.cell(row, which)
    if not cell:
        reader.trouble(row, which, "a student is missing", "write an id or a name of the roster")
        return ""
    try:
        return roster.find(cell).id
    except InputError as error:
        found = students_named(roster, cell)
        if len(found) == 1:
            return found[0].id
        could_be = " or ".join(f"{student.name} ({student.id})" for student in found)
        message = f"'{cell}' could be {could_be}" if found else error.said.sentence
        reader.trouble(row, which, message, "use an id" if found else filled(str(error.said.remedy), error.facts))
        return ""



def _report_idle(found: list[tuple[int, Request]], lessons: Collection[int], findings: Findings) -> None:
    """Requests for lessons that there are not, which hold nowhere or less long than they say."""
    if not lessons:
        return
    have = f"the unit has lessons {min(lessons)} to {max(lessons)}"
    for row, request in found:
        asked = [number for number in (request.first_lesson, request.last_lesson) if number is not None]
        beyond = [str(number) for number in asked if not min(lessons) <= number <= max(lessons)]
        if not any(request.holds_in(number) for number in lessons):
            findings.note("understood", f"this request holds in no lesson: {have}", (row,))
        elif beyond:
            findings.note("understood", f"there is no lesson {' and no lesson '.join(beyond)}: {have}", (row,))
