"""Tables of what is held on one student, as people read them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grouper.faces.wording.words import number_in_words
from grouper.files.own_data import TABLES, Facts


@dataclass(frozen=True)
class FactTable:
    """A title, the names of the columns, and the rows as text; both empty where nothing is held."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def fact_tables(facts: Facts) -> tuple[FactTable, ...]:
    """All tables, the empty ones too: that nothing is held is a fact as well."""
    return (
        FactTable("The student", ("What", "Held"), tuple(_row_by_row(facts["student"]))),
        *(_table(table.title, facts[table.key]) for table in TABLES),
    )


def _row_by_row(person: Facts) -> Iterator[tuple[str, ...]]:
    for key, value in person.items():
        yield _heading(key), _said(value)


def _table(title: str, rows: list[Facts]) -> FactTable:
    keys = tuple(dict.fromkeys(key for row in rows for key in row))
    said = tuple(tuple(_said(row.get(key)) for key in keys) for row in rows)
    return FactTable(title, tuple(_heading(key) for key in keys), said)


def _heading(key: str) -> str:
    words = key.replace("_", " ")
    return words[:1].upper() + words[1:]


def _said(value: object) -> str:
    if value is None or value == "":
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return number_in_words(value) if isinstance(value, float) else str(value)
