"""Which rows of a roster are students: totals, footers and rows without anybody are told apart."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from grouper.files.notes import Findings
from grouper.files.roster_columns import Identity, Measures
from grouper.files.sheet import Row
from grouper.files.table import Table
from grouper.files.tidy import fold
from grouper.files.vocabulary import word_set

_TOTALS = word_set(
    "total totals sum subtotal average averages avg mean median count summe gesamt insgesamt durchschnitt mittelwert "
    "schnitt anzahl klassenschnitt moyenne somme effectif promedio suma media totale somma soma gemiddelde totaal "
    "aantal srednia razem medel antal итого среднее всего συνολο 合计 合計 総計 平均 합계 평균 المجموع סהכ"
)
_COMPANIONS = word_set(
    "number of students pupils class in the de des del di der schuler schulerinnen eleves alumnos alunni alunos "
    "leerlingen group general grand klasse classe clase"
)


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
        _sort_remark(row, name, below, done, findings)
    elif name and id_:
        done.students.append(row)
    elif below and len(row.filled) == 1 and " " in row.filled[0]:
        done.footers.append(row)
    elif not name and (not id_ or identity.id is None):
        (done.footers if below else done.nobody).append(row)
    elif not name:
        findings.trouble(f"there is no name beside the id '{id_}'", "fill in the name, or take the row out", row.number)
    else:
        findings.trouble(f"'{name}' has no id", "give each student an id", row.number, _id_header(identity))


def _sort_remark(row: Row, name: str, below: bool, done: _Sorted, findings: Findings) -> None:
    if below:
        done.footers.append(row)
    else:
        findings.trouble(f"'{name}' is no name", "write the name, or take the row out", row.number)


def _id_header(identity: Identity) -> str:
    return identity.id.shown if identity.id else ""


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
