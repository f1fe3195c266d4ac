"""The tables follow from the dataclasses of the record, and nothing of a record is lost between the two."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass, field, fields

import pytest

from grouper.errors import InputError
from grouper.files.store.codec import Coder, Column, Reading, Writing, of_parts
from grouper.files.store.parts import CODERS, TABLES, each_coder
from grouper.files.store.schema import MIGRATIONS
from grouper.files.store.tables import Part, Row, Rows
from grouper.model.record import ClassRecord

BESIDE = {"setting", "change", "undone", "stamp", "begun"}
"""Tables that hold no parts of the record."""

SQL = {int: "INTEGER", float: "REAL", str: "TEXT", bool: "INTEGER"}


def migrated(*more: str) -> sqlite3.Connection:
    made = sqlite3.connect(":memory:", isolation_level=None)
    for migration in MIGRATIONS:
        for statement in migration.statements:
            made.execute(statement)
    for statement in more:
        made.execute(statement)
    return made


def line(column: Column) -> str:
    return f'"{column.name}" {SQL[column.kind]}' + ("" if column.optional else " NOT NULL")


def statement(coder: Coder) -> str:
    """The statement that makes a part's table; its outer columns are those that the part above has."""
    own = {column.name: line(column) for column in coder.columns}
    outer = {name: f'"{name}" TEXT NOT NULL' if name == "layer" else "" for name in coder.table.columns}
    lines = [own.get(name) or outer[name] or f'"{name}" INTEGER NOT NULL' for name in coder.table.columns]
    key = ", ".join(f'"{name}"' for name in coder.table.key)
    return f'CREATE TABLE "{coder.table.name}" ({", ".join(lines)}, PRIMARY KEY ({key})) WITHOUT ROWID'


@pytest.mark.parametrize("coder", list(each_coder(CODERS)), ids=lambda coder: f"{coder.part.at} in {coder.table.name}")
def test_a_table_has_what_the_dataclass_has(coder: Coder) -> None:
    """Columns, primary key, kinds, and what may be empty; the message is the line that the next form needs."""
    with closing(migrated()) as database:
        found = database.execute(f'PRAGMA table_info("{coder.table.name}")').fetchall()
    assert found, f"add to the migration of the next form: {statement(coder)}"
    columns = {name: (kind, bool(needed) or bool(place)) for _, name, kind, needed, _, place in found}
    for column in coder.columns:
        assert column.name in columns, f'add: ALTER TABLE "{coder.table.name}" ADD COLUMN {line(column)} DEFAULT ...'
        assert columns[column.name] == (SQL[column.kind], not column.optional), column.name
    assert set(columns) == set(coder.table.columns)
    key = sorted((place, name) for _, name, _, _, _, place in found if place)
    assert tuple(name for _, name in key) == coder.table.key


def test_no_table_is_without_a_part() -> None:
    """Whatever the migrations make is read, written and compared."""
    with closing(migrated()) as database:
        made = {name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert made - BESIDE == {table.name for table in TABLES} - BESIDE


def test_no_field_of_a_record_is_without_a_part() -> None:
    """What is kept beside the parts is named here: three as names and values, and what the screen has shown."""
    heads = {coder.part.at.partition(".")[0] for coder in CODERS}
    assert {each.name for each in fields(ClassRecord)} == heads | {"seed", "settings", "points", "begun"}


@dataclass(frozen=True)
class Bib:
    """Made up: a thing with a field of every kind."""

    number: int
    owner: str
    colour: str
    worn: bool = False
    weight: float | None = None
    marks: tuple[str, ...] = ()
    sizes: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Kit:
    """Made up: what has bibs."""

    bibs: tuple[Bib, ...]


@dataclass(frozen=True)
class Box:
    """Made up: what has a kit."""

    kit: Kit
    lent: frozenset[int] = frozenset()


PARTS = (
    Part(
        "bib",
        "kit.bibs",
        key=("number",),
        parts=(Part("mark", "marks", columns=("text",)), Part("size", "sizes", key=("of",), columns=("value",))),
    ),
    Part("lent", "lent", key=("number",)),
)
BOX = Box(Kit((Bib(3, "b", "red", True, 0.5, ("x", "y")), Bib(7, "a", "blue", sizes={"arm": 2.0}))), frozenset({7, 3}))


def coders(persons: Mapping[type, tuple[str, ...]]) -> tuple[Coder, ...]:
    return tuple(Coder(part, Box, persons) for part in PARTS)


def rows_of(box: Box, numbers: Mapping[str, int], of: tuple[Coder, ...]) -> Rows:
    rows: Rows = {coder.table.name: [] for coder in each_coder(of)}
    for coder in of:
        coder.write([()], [box], Writing(rows, numbers))
    return rows


def box_of(rows: Rows, ids: Mapping[int, str], of: tuple[Coder, ...]) -> Box:
    reading = Reading(rows, ids)
    for coder in of:
        coder.read(reading)
    box = Box(**of_parts(Box, of, reading))
    reading.check_all_taken()
    return box


def test_a_new_dataclass_needs_no_more_than_a_part() -> None:
    """Its tables come from its fields; what goes into them through SQL comes out the same, people by their numbers."""
    of = coders({Bib: ("owner",)})
    rows = rows_of(BOX, {"a": 11, "b": 12}, of)
    assert rows["bib"] == [(3, 12, "red", 1, 0.5), (7, 11, "blue", 0, None)]
    assert rows["mark"] == [(3, 1, "x"), (3, 2, "y")] and rows["lent"] == [(3,), (7,)]
    with closing(migrated(*map(statement, each_coder(of)))) as database:
        for coder in each_coder(of):
            database.executemany(coder.table.insert, rows[coder.table.name])
        found = {c.table.name: database.execute(c.table.select).fetchall() for c in each_coder(of)}
    assert box_of(found, {11: "a", 12: "b"}, of) == BOX


def dropped(rows: Rows, table: str, row: Row) -> Rows:
    return {**rows, table: [each for each in rows[table] if each != row]}


def test_a_row_that_belongs_to_nothing_is_damage() -> None:
    """Marks of a bib that is not there are not passed over."""
    of = coders({})
    rows = rows_of(BOX, {}, of)
    with pytest.raises(ValueError, match="a mark belongs to nothing"):
        box_of(dropped(rows, "bib", rows["bib"][0]), {}, of)


def test_what_is_there_twice_or_out_of_order_is_refused() -> None:
    """Things that are told apart by a number are in its order, each once, as they would be read in no other."""
    red, blue = BOX.kit.bibs
    for bibs in ((blue, red), (red, red)):
        with pytest.raises(InputError, match="the bibs are out of order, or one appears twice"):
            rows_of(Box(Kit(bibs)), {}, coders({}))


def test_a_field_that_would_be_lost_is_told_at_once() -> None:
    """A field that holds several of something has a part, or the table is not even made."""
    with pytest.raises(TypeError, match=r"Bib\.marks has no column and no part"):
        Coder(Part("bib", "kit.bibs", key=("number",)), Box, {})


def test_a_number_that_is_none_is_refused() -> None:
    """SQLite would keep it as nothing at all."""
    bib = Bib(1, "a", "red", weight=float("nan"))
    with pytest.raises(InputError, match="a weight is not a number"):
        rows_of(Box(Kit((bib,))), {}, coders({}))
