"""Rows in which an unquoted 'Surname, First' was cut into two cells by a comma file."""

from __future__ import annotations

from dataclasses import replace

from grouper.files.notes import Findings
from grouper.files.sheet import Row
from grouper.files.table import Table


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
            _report(row, table, findings)
    if mended:
        findings.note("mended", "the name was cut at its comma and is put together again", tuple(mended))
    return replace(table, rows=tuple(rows))


def _headers(table: Table) -> int:
    return max((column.place + 1 for column in table.columns if column.header), default=0)


def _is_cut(row: Row, table: Table) -> bool:
    names = table.columns_of("name")
    if len(names) != 1 or table.column("given") or table.column("family") or row.width != _headers(table) + 1:
        return False
    place = names[0].place
    return all(_is_words(row.cell(at)) for at in (place, place + 1))


def _is_words(cell: str) -> bool:
    return bool(cell) and not any(sign.isdigit() for sign in cell)


def _joined(row: Row, table: Table) -> Row:
    place = table.columns_of("name")[0].place
    name = f"{row.cell(place)}, {row.cell(place + 1)}"
    return Row(row.number, (*row.cells[:place], name, *row.cells[place + 2 :]))


def _report(row: Row, table: Table, findings: Findings) -> None:
    message = f"the row has {row.width} cells and there are {_headers(table)} headers"
    remedy = 'put "quotation marks" around a cell with a comma in it, or give each column a header'
    findings.trouble(message, remedy, row.number)
