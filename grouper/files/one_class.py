"""The rows of one class, from an export that holds several under each other."""

from __future__ import annotations

from dataclasses import replace

from grouper.files.notes import Findings
from grouper.files.table import Column, Table
from grouper.files.tidy import fold
from grouper.files.vocabulary import word_set

_CLASS_WORDS = word_set("class form klasse kl classe clase grupo turma klas klasa klass section homeroom 班级 クラス")


def rows_of_class(table: Table, class_name: str, findings: Findings) -> Table:
    """The rows whose class column holds this name; all rows where no name is given.

    A name that no column holds is a trouble. Several classes and no name are told in a note.
    """
    columns = [column for column in table.columns if not column.meaning and _is_class(column)]
    if not class_name:
        _report_several(table, columns, findings)
        return table
    for column in columns:
        if class_name.casefold() in (cell.casefold() for cell in table.values(column)):
            return _only(table, column, class_name, findings)
    have = ", ".join(dict.fromkeys(cell for column in columns for cell in table.values(column) if cell))
    message = f"no sheet and no row is of a class '{class_name}'"
    findings.trouble(message, f"use one of {have}" if have else "leave the name of the class out")
    return table


def _is_class(column: Column) -> bool:
    return any(word in _CLASS_WORDS for word in fold(column.header).split())


def _only(table: Table, column: Column, class_name: str, findings: Findings) -> Table:
    other = [row for row in table.rows if row.cell(column.place).casefold() != class_name.casefold()]
    if other:
        findings.note("left out", f"not of the class {class_name}", tuple(row.number for row in other), column.header)
    return replace(table, rows=tuple(row for row in table.rows if row not in other))


def _report_several(table: Table, columns: list[Column], findings: Findings) -> None:
    for column in columns:
        classes = list(dict.fromkeys(cell for cell in table.values(column) if cell))
        if 1 < len(classes) <= len(table.rows) // 2:
            text = f"students of several classes, all taken as one: {', '.join(classes)}"
            findings.note("understood", text, column=column.header)
