"""The tables of a class file, and the numbered steps that bring an older file to today's form.

Each step is a file of SQL in ``forms/``, whose first line says what it brings. A form that is out in the world is never
changed again, down to its spaces, as every class file holds it word for word; the last one is extended until then: a
statement for each new table, column or setting.

A student's id and name stand in the one table ``student``; every other table names the student by an internal whole
number. Places count from 1 and keep the order of what is a tuple in the record. Some column names are SQL's own words,
so that names are always quoted. A round has two layers of groups, as they stand now and as they were planned; the
second is left out where the round says that it is still as planned, which halves the work of reading most files.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

APPLICATION_ID = 0x67727570
"""Marks an SQLite file as a class file ('grup' in ASCII, a number of our own)."""


@dataclass(frozen=True)
class Migration:
    """What brings a file from the version before to this one: a word on it, and SQL statements in order.

    ``losses`` come before these: what the new form does not take as it was, of which the teacher is told.
    """

    what: str
    statements: tuple[str, ...]
    losses: tuple[Loss, ...] = ()


@dataclass(frozen=True)
class Loss:
    """What a new form does not take: in which rows of a table, what becomes of them, and that in words."""

    table: str
    where: str
    change: str
    words: str

    @property
    def count(self) -> str:
        """The statement that counts the rows."""
        return f"SELECT count(*) FROM {self.table} WHERE {self.where}"

    @property
    def statement(self) -> str:
        """The statement that changes them."""
        return f"{self.change} WHERE {self.where}"


def _migration(form: int, losses: tuple[Loss, ...] = ()) -> Migration:
    """The step that leads to a form, from its file."""
    text = (Path(__file__).parent / "forms" / f"{form}.sql").read_text(encoding="utf-8")
    what, _, sql = text.removeprefix("-- ").partition("\n")
    statements = re.sub(r"^--.*\n", "", sql, flags=re.MULTILINE).split(";\n")
    return Migration(what, tuple(statement.lstrip("\n") for statement in statements if statement.strip()), losses)


_BEYOND = 10_000_000
_LEFT_OUT = "beyond 10,000,000, left out"
_WITHIN_TODAYS_RULES = (
    Loss("rating", f"abs(value) > {_BEYOND}", "DELETE FROM rating", f"rating {_LEFT_OUT}"),
    Loss(
        "learnt",
        f"abs(value) > {_BEYOND} OR abs(guess) > {_BEYOND}",
        "DELETE FROM learnt",
        f"rating learnt from results {_LEFT_OUT}",
    ),
    Loss("student", "trim(name) = ''", "UPDATE student SET name = 'student ' || key", "blank name, now a number"),
    Loss(
        "student",
        "length(name) > 100",
        "UPDATE student SET name = substr(name, 1, 100)",
        "name of a student, cut at 100 letters",
    ),
    Loss(
        "activity",
        "length(name) > 120",
        "UPDATE activity SET name = substr(name, 1, 120)",
        "name of an activity, cut at 120 letters",
    ),
)
"""Earlier forms took any rating and any name; the copy that is made before still has them."""

MIGRATIONS = (
    *(_migration(form) for form in (1, 2, 3)),
    _migration(4, _WITHIN_TODAYS_RULES),
    *(_migration(form) for form in (5, 6)),
)
"""All forms, the first one first: what brings a file of one to the next."""
