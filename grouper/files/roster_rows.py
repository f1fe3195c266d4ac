"""Which rows of a roster are students, and the rows of one student put together.

Totals, footers, other classes and rows without anybody are told apart; a name that was cut by a comma is whole again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from grouper.files.cells import fold, number_text
from grouper.files.notes import Findings
from grouper.files.roster_columns import Identity, Measures
from grouper.files.table import Row, Table, word_set
from grouper.model.roster import Roster


@dataclass(frozen=True)
class Entry:
    """What one row says about one student; ``id`` is empty where the file has no ids."""

    row: int
    id: str
    name: str
    ratings: Mapping[str, float] = field(default_factory=dict)
    size_band: str = ""
    availability: str = ""


EXAMPLE_IDS = ("example-1", "example-2")


_CLASS_WORDS = word_set("class")


def rows_of_class(table: Table, class_name: str, findings: Findings) -> Table:
    """The rows whose class column holds this name; all rows where no name is given.

    A name that no column holds is a trouble. Several classes and no name are told in a note.
    """
    unknown = [column for column in table.columns if not column.meaning]
    columns = [column for column in unknown if not _CLASS_WORDS.isdisjoint(fold(column.header).split())]
    if not class_name:
        for column in columns:
            classes = list(dict.fromkeys(cell for cell in table.values(column) if cell))
            # With nearly as many values as rows the column is none of classes, whatever its header says.
            if 1 < len(classes) <= len(table.rows) // 2:
                text = f"students of several classes, all taken as one: {', '.join(classes)}"
                findings.note("understood", text, column=column.header)
        return table
    for column in columns:
        if class_name.casefold() in (cell.casefold() for cell in table.values(column)):
            other = [row for row in table.rows if row.cell(column.place).casefold() != class_name.casefold()]
            if other:
                rows = tuple(row.number for row in other)
                findings.note("left out", f"not of the class {class_name}", rows, column.header)
            return replace(table, rows=tuple(row for row in table.rows if row not in other))
    have = ", ".join(dict.fromkeys(cell for column in columns for cell in table.values(column) if cell))
    message = f"no sheet and no row is of a class '{class_name}'"
    findings.trouble(message, f"use one of {have}" if have else "leave the name of the class out")
    return table


def with_whole_names(table: Table, findings: Findings) -> Table:
    """The table with names put together again where it is plain that one was cut.

    It is where a row has one cell more than there are headers, and the cells at the name and after it are words. Any
    other row that is too long becomes a trouble and is left out of what follows.
    """
    rows, mended = [], []
    for row in table.rows:
        if row.width <= _headers(table):
            rows.append(row)
        elif _is_cut(row, table):
            rows.append(_joined(row, table))
            mended.append(row.number)
        else:
            message = f"the row has {row.width} cells and there are {_headers(table)} headers"
            remedy = (
                'give each column a header, all in one row; in a CSV file a cell with a comma needs "quotation marks"'
            )
            findings.trouble(message, remedy, row.number)
    if mended:
        findings.note("mended", "the name was cut at its comma and is put together again", tuple(mended))
    return replace(table, rows=tuple(rows))


def _headers(table: Table) -> int:
    return max((column.place + 1 for column in table.columns if column.header), default=0)


def _is_cut(row: Row, table: Table) -> bool:
    names = table.columns_of("name")
    if len(names) != 1 or table.column("given") or table.column("family") or row.width != _headers(table) + 1:
        return False
    parts = [row.cell(names[0].place), row.cell(names[0].place + 1)]
    return all(part and not any(sign.isdigit() for sign in part) for part in parts)


def _joined(row: Row, table: Table) -> Row:
    place = table.columns_of("name")[0].place
    name = f"{row.cell(place)}, {row.cell(place + 1)}"
    return Row(row.number, (*row.cells[:place], name, *row.cells[place + 2 :]))


_TOTALS = word_set("totals")
_COMPANIONS = word_set("beside totals")


@dataclass
class _Sorted:
    """Rows by what becomes of them."""

    students: list[Row] = field(default_factory=list)
    totals: list[Row] = field(default_factory=list)
    footers: list[Row] = field(default_factory=list)
    nobody: list[Row] = field(default_factory=list)


def students_of(table: Table, identity: Identity, findings: Findings) -> tuple[Table, tuple[Row, ...]]:
    """The table with the rows of students alone, and the rows that have neither id nor name.

    Rows that lack one of the two become troubles, totals and footers notes.
    """
    done = _Sorted()
    # Below the last whole row a line is a footer; between students it is somebody whose cells are missing.
    last = max((row.number for row in table.rows if _is_whole(row, identity)), default=0)
    for row in table.rows:
        _sort(row, identity, row.number > last, done, findings)
    _report(done.totals, "a total, not a student", findings)
    _report(done.footers, "a line below the table, not a student", findings)
    return replace(table, rows=tuple(done.students)), tuple(done.nobody)


def _is_whole(row: Row, identity: Identity) -> bool:
    name, id_ = identity.names.name(row), _id(row, identity)
    return bool(name and id_) and not _is_total(row, identity) and not _is_remark(name, id_, identity)


def _is_remark(name: str, id_: str, identity: Identity) -> bool:
    """Whether id and name are no such thing, as in 'As of:' beside a date."""
    nameless = identity.wordy and bool(name) and not any(sign.isalpha() for sign in name)
    return nameless or id_.endswith(":")


def _id(row: Row, identity: Identity) -> str:
    """The id of a row; a stand-in where the roster has no ids."""
    return row.cell(identity.id.place) if identity.id else "-"


def _is_total(row: Row, identity: Identity) -> bool:
    if identity.id and row.cell(identity.id.place) and identity.names.name(row):
        return _reads_as_total(row.cell(identity.id.place))
    return bool(row.filled) and _reads_as_total(row.filled[0])


def _reads_as_total(cell: str) -> bool:
    """Whether a cell is a word such as 'Total', perhaps with a number and 'of students'."""
    words = [word for word in fold(cell).split() if not word.isdigit()]
    return any(word in _TOTALS for word in words) and all(word in _TOTALS | _COMPANIONS for word in words)


def _sort(row: Row, identity: Identity, below: bool, done: _Sorted, findings: Findings) -> None:
    name, id_ = identity.names.name(row), _id(row, identity)
    if _is_total(row, identity):
        done.totals.append(row)
    elif _is_remark(name, id_, identity):
        if below:
            done.footers.append(row)
        else:
            findings.trouble(f"'{name}' is no name", "write the name, or take the row out", row.number)
    elif name and id_:
        done.students.append(row)
    elif below and len(row.filled) == 1 and " " in row.filled[0]:
        done.footers.append(row)
    elif not name and (not id_ or identity.id is None):
        (done.footers if below else done.nobody).append(row)
    elif not name:
        findings.trouble(f"there is no name beside the id '{id_}'", "fill in the name, or take the row out", row.number)
    else:
        header = identity.id.shown if identity.id else ""
        findings.trouble(f"'{name}' has no id", "give each student an id", row.number, header)


def _report(rows: list[Row], why: str, findings: Findings) -> None:
    if rows:
        findings.note("left out", why, tuple(row.number for row in rows))


def report_nobody(rows: tuple[Row, ...], measures: Measures, findings: Findings) -> None:
    """Rows between students with neither id nor name: a trouble where they hold a rating, a note elsewhere."""
    columns = [column for _strand, column in measures.strands]
    columns += [column for column in (measures.size_band, measures.availability) if column]
    rated = [row for row in rows if any(row.cell(column.place) for column in columns)]
    for row in rated:
        remedy = "fill in whose they are, or take the row out"
        findings.trouble("this row has ratings and no name", remedy, row.number)
    _report([row for row in rows if row not in rated], "neither id nor name in it", findings)


_ONE_EACH = "see which is right and put it into both rows, or take one row out"


def merged(entries: list[Entry], findings: Findings) -> tuple[list[Entry], int]:
    """One entry a student, in the order of their first rows, and how many rows were put together with another.

    Entries with one id are one student; where they differ in a name, a rating or another value, that is a trouble.
    """
    by_id: dict[str, Entry] = {}
    again: dict[str, list[int]] = defaultdict(list)
    for entry in entries:
        first = by_id.get(entry.id)
        if first is None:
            by_id[entry.id] = entry
        else:
            by_id[entry.id] = _together(first, entry, findings)
            again[entry.id].append(entry.row)
    for id_, rows in again.items():
        first = by_id[id_]
        findings.note("understood", f"the same student ({id_}) as in row {first.row}", tuple(rows))
    return list(by_id.values()), sum(map(len, again.values()))


def _together(first: Entry, second: Entry, findings: Findings) -> Entry:
    if first.name.casefold() != second.name.casefold():
        findings.trouble(
            f"the id '{first.id}' stands for '{first.name}' in row {first.row} and for '{second.name}' here",
            "give each student an id of their own",
            second.row,
        )
        return first
    for strand, value in second.ratings.items():
        _check_same(strand, first.ratings.get(strand), value, first, second, findings)
    _check_same("size band", first.size_band or None, second.size_band, first, second, findings)
    _check_same("availability", first.availability or None, second.availability, first, second, findings)
    return replace(
        first,
        ratings={**second.ratings, **first.ratings},
        size_band=first.size_band or second.size_band,
        availability=first.availability or second.availability,
    )


def _check_same(
    what: str, one: float | str | None, other: float | str, first: Entry, second: Entry, findings: Findings
) -> None:
    if one is None or other == "" or one == other:
        return
    values = [number_text(value) if isinstance(value, float) else value for value in (one, other)]
    message = f"{first.name} has {values[0]} in row {first.row} and {values[1]} here"
    findings.trouble(message, _ONE_EACH, second.row, what)


def with_ids(entries: list[Entry], before: Roster | None, findings: Findings) -> list[Entry]:
    """The entries of a roster without ids, each with one.

    It is the id that the student of this name has in ``before``, or the next free one of ``s01``, ``s02`` and so on.
    Two of one name cannot be told apart and become a trouble.
    """
    first: dict[str, Entry] = {}
    for entry in entries:
        namesake = first.setdefault(entry.name.casefold(), entry)
        if namesake is not entry:
            message = f"'{entry.name}' is in row {namesake.row} too, and there are no ids to tell whether they are one"
            findings.trouble(message, "add a column student_id and give each an id, or take one row out", entry.row)
    taken = {student.id for student in before.students} if before else set()
    width = max(2, len(str(len(entries) + len(taken))))
    fresh = (f"s{n:0{width}d}" for n in range(1, len(entries) + len(taken) + 1))
    free = (id_ for id_ in fresh if id_ not in taken)
    numbered = []
    for entry in entries:
        everybody = before.students if before else ()
        named = [student for student in everybody if student.name.casefold() == entry.name.casefold()]
        current = [student for student in named if not student.archived] or named
        numbered.append(replace(entry, id=current[0].id if len(current) == 1 else next(free)))
    findings.note("understood", "there is no column of ids, so students are told apart by their names")
    return numbered
