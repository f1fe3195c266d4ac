"""Class files made to hurt: ``python -m tests.bench.hostile_classes [HOW_MANY] [SEED]``.

Each is a planned class of 23 that somebody has tampered with: SQL that would run when it is read, tables that are not
ours, values of other kinds, ways back and forth that are not ours, bytes and pages spoiled. Eight commands are run on
each, every one in a process of its own. A command survives if it ends with 0, or with 2 and a short sentence, within
5 s and 500 MB, and has not changed the file (redo and undo may, where they end with 0).
"""

from __future__ import annotations

import json
import os
import random
import resource
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing, redirect_stdout, suppress
from dataclasses import dataclass, field, replace
from io import StringIO
from pathlib import Path

from grouper.faces.cli.commands.unit import Given, admitted
from grouper.faces.cli.entry import main
from grouper.files.example import demo_folder
from grouper.files.store import ClassFile, schema
from grouper.files.store.parts import TABLES
from grouper.planning.plan import plan_unit

SECONDS, MEGABYTES, LETTERS = 5.0, 500, 300
COUNTING = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)"
NAMES = [table.name for table in TABLES] + ["change", "undone", "begun", "stamp"]
VALUES = ("NULL", "x'00ff'", "'text'", "1e308", "9e999", "-1", "9223372036854775807", "2000000000", "''", "0", "3.5")
LONG = ("printf('%.*c', 900000, 'x')", "zeroblob(3000000)", "char(27) || '[2J' || char(8238)", "hex(zeroblob(99999))")


def a_class(path: Path) -> None:
    """A class of 23, planned, with one change since."""
    tables = demo_folder() / "odd"
    with redirect_stdout(StringIO()):
        record = admitted(Given(tables / "roster.csv", tables / "lessons.csv", tables / "requests.csv"), None)
    file = ClassFile(path)
    file.create(plan_unit(record, effort="quick").record, "first plan")
    with file.change("lesson 1 taught") as edit:
        edit.record = replace(edit.record, taught=frozenset({1}))


def with_all_tables(path: Path) -> None:
    """The same, where lesson 1 ended early, the first round of lesson 2 has begun, and one change was taken back."""
    a_class(path)
    file = ClassFile(path)
    with redirect_stdout(StringIO()), suppress(SystemExit):
        main(["ran", str(path), "--lesson", "1", "--up-to-round", "2", "--note", "rain"])
    file.begin(2, 1)
    with file.change("lesson 2 taught") as edit:
        edit.record = replace(edit.record, taught=frozenset({1, 2}))
    file.undo()


def sql(path: Path, *statements: str) -> None:
    """Statements of somebody else; one that SQLite does not take is left out."""
    with closing(sqlite3.connect(path, isolation_level=None)) as database:
        database.execute("PRAGMA writable_schema = ON")
        database.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            with suppress(sqlite3.Error):
                database.execute(statement)


def one_column(path: Path, draw: random.Random) -> tuple[str, str]:
    """A table and one of its columns."""
    with closing(sqlite3.connect(path)) as database:
        table = draw.choice(NAMES)
        return table, draw.choice([row[1] for row in database.execute(f'PRAGMA table_info("{table}")')])


def trigger(path: Path, draw: random.Random) -> None:
    """Code that runs when a row is written."""
    table, event = draw.choice(NAMES), draw.choice(("INSERT", "DELETE", "UPDATE"))
    without_end = f"INSERT INTO taught {COUNTING} SELECT i FROM n"
    what = draw.choice(("DELETE FROM student", without_end, "SELECT RAISE(FAIL, '')"))
    sql(path, f'CREATE TRIGGER quietly AFTER {event} ON "{table}" BEGIN {what}; END')


def view(path: Path, draw: random.Random) -> None:
    """Code that runs when a table is read: without an end, or taking all memory."""
    table = draw.choice(NAMES)
    with closing(sqlite3.connect(path)) as database:
        columns = [row[1] for row in database.execute(f'PRAGMA table_info("{table}")')]
    value = draw.choice(("i", "zeroblob(900000000)", "printf('%.*c', 100000000, 'x')", "NULL"))
    listed = ", ".join(f'{value} AS "{column}"' for column in columns)
    sql(path, f'DROP TABLE "{table}"', f'CREATE VIEW "{table}" AS {COUNTING} SELECT {listed} FROM n')


def more(path: Path, draw: random.Random) -> None:
    """More than there should be."""
    things = (
        "CREATE TABLE more (name TEXT)",
        "CREATE INDEX quick ON student (name)",
        "CREATE INDEX costly ON student (printf('%.*c', 1000000, name))",
        "CREATE VIEW quiet AS SELECT * FROM student",
        "ALTER TABLE student ADD COLUMN weight REAL",
        "ALTER TABLE student ADD COLUMN loud TEXT GENERATED ALWAYS AS (upper(name))",
        "ALTER TABLE note ADD COLUMN long TEXT GENERATED ALWAYS AS (printf('%.*c', 900000000, 'x')) VIRTUAL",
        "ANALYZE",
    )
    sql(path, *draw.sample(things, draw.randint(1, 3)))


def wrong_value(path: Path, draw: random.Random) -> None:
    """A value of another kind, beyond sense, or very long, in one row or in all of them."""
    table, column = one_column(path, draw)
    where = draw.choice(("", "WHERE rowid = 1", f'WHERE "{column}" = (SELECT min("{column}") FROM "{table}")'))
    sql(path, f'UPDATE OR IGNORE "{table}" SET "{column}" = {draw.choice(VALUES + LONG)} {where}')


def strict_no_more(path: Path, draw: random.Random) -> None:
    """NULL where it cannot be: the table says that it can, a value is put there, and the table says again that not."""
    table, column = one_column(path, draw)
    sql(path, f"UPDATE sqlite_master SET sql = replace(sql, 'NOT NULL', '        ') WHERE name = '{table}'")
    sql(path, f'UPDATE "{table}" SET "{column}" = {draw.choice(VALUES)}')
    with closing(sqlite3.connect(":memory:")) as fresh:
        for migration in schema.MIGRATIONS:
            for statement in migration.statements:
                fresh.execute(statement)
        (wanted,) = fresh.execute("SELECT sql FROM sqlite_master WHERE name = ?", (table,)).fetchone()
    with closing(sqlite3.connect(path)) as database, suppress(sqlite3.Error):
        database.execute("PRAGMA writable_schema = ON")
        database.execute("UPDATE sqlite_master SET sql = ? WHERE name = ?", (wanted, table))
        database.commit()


def way_back(path: Path, draw: random.Random) -> None:
    """A way back that is not ours."""
    rows = ([], [[1]], [["x"]], [[1, 1, 1, "now", 1, 1]], [[10**30]], [[None]], [["x" * 400_000]], 5, [[1.5]], [[True]])
    parts = [[draw.choice([*NAMES, "sqlite_master"]), draw.choice(rows), draw.choice(rows)] for _ in range(3)]
    texts = (json.dumps(parts), "[" * 200_000, "[[]," * 2_000_000, "{}", "", "null", "[1e999]", '[["note", [], 1]]')
    with closing(sqlite3.connect(path)) as database, suppress(sqlite3.Error, UnicodeError):
        database.execute("UPDATE change SET undo = ?, lasting = ''", (draw.choice(texts),))
        database.execute("UPDATE undone SET redo = ?", (draw.choice(texts),))
        database.commit()


def very_many(path: Path, draw: random.Random) -> None:
    """Rows without measure."""
    count = draw.choice((6_000, 300_000))
    things = (
        f"INSERT INTO student {COUNTING} SELECT i + 99, i + 99, 'x' || i, 'y', '', '', 1, NULL FROM n LIMIT {count}",
        f"INSERT INTO lesson {COUNTING} SELECT i + 99, '' FROM n LIMIT {count}",
        f"INSERT INTO change {COUNTING} SELECT i + 99, '', '', NULL, '' FROM n LIMIT {count}",
        f"INSERT INTO taught {COUNTING} SELECT i + 99 FROM n LIMIT {count}",
        f"INSERT INTO note {COUNTING} SELECT 1, i + 99, printf('%.*c', 900, 'x') FROM n LIMIT {count // 4}",
        f"INSERT INTO strand {COUNTING} SELECT i + 99, 'x' || i FROM n LIMIT {count}",
        f"UPDATE activity SET rounds = {count}",
        f"INSERT INTO begun {COUNTING} SELECT i + 9, i, 'x' FROM n LIMIT {count}",
        f"INSERT INTO undone {COUNTING} SELECT i + 99, '', '', '' FROM n LIMIT {count}",
        "UPDATE activity SET size = 1000000000",
        "UPDATE student SET first_lesson = 1000000000, last_lesson = 1000000000",
    )
    sql(path, draw.choice(things))


def header(path: Path, draw: random.Random) -> None:
    """Another form, another mode, another coding, or no class file at all."""
    which = draw.randrange(4)
    if which == 0:
        sql(path, f"PRAGMA user_version = {draw.choice((-1, 0, 1, 2, 4, 99, 2**31 - 1))}")
    elif which == 1:
        sql(path, "PRAGMA journal_mode = WAL")
    elif which == 2:
        sql(path, f"PRAGMA application_id = {draw.randrange(2**31)}")
    else:
        with closing(sqlite3.connect(path)) as database:
            dump = "\n".join(database.iterdump())
        path.unlink()
        with closing(sqlite3.connect(path)) as database:
            database.executescript(f"PRAGMA encoding = 'UTF-16';{dump}")
            database.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
            database.execute(f"PRAGMA user_version = {len(schema.MIGRATIONS)}")


def tables(path: Path, draw: random.Random) -> None:
    """The list of tables spoiled."""
    things = (
        "UPDATE sqlite_master SET rootpage = (SELECT max(rootpage) FROM sqlite_master) WHERE name = '{}'",
        "UPDATE sqlite_master SET sql = 'no SQL' WHERE name = '{}'",
        "UPDATE sqlite_master SET sql = NULL WHERE name = '{}'",
        "UPDATE sqlite_master SET sql = zeroblob(5000000) WHERE name = '{}'",
        "DELETE FROM sqlite_master WHERE name = '{}'",
        "INSERT INTO sqlite_master SELECT * FROM sqlite_master WHERE name = '{}'",
        "UPDATE sqlite_master SET rootpage = 1 WHERE name = '{}'",
        f"INSERT INTO sqlite_master {COUNTING} "
        "SELECT 'table', 't' || i, 't' || i, 2, 'CREATE TABLE t' || i || '(a)' FROM n LIMIT 100000",
    )
    sql(path, draw.choice(things).format(draw.choice(NAMES)))


def spoiled_bytes(path: Path, draw: random.Random) -> None:
    """Bytes, some of them in the heads of pages, where the tree of a table is held together."""
    content = bytearray(path.read_bytes())
    for _ in range(draw.choice((1, 5, 50, 500))):
        page = 4096 * draw.randrange(len(content) // 4096)
        content[page + draw.choice((draw.randrange(16), draw.randrange(4096)))] = draw.randrange(256)
    path.write_bytes(content)


def spoiled_pages(path: Path, draw: random.Random) -> None:
    """Pages that stand in the place of others, or are cut off."""
    content = path.read_bytes()
    pages = [content[start : start + 4096] for start in range(0, len(content), 4096)]
    one, other = draw.randrange(len(pages)), draw.randrange(len(pages))
    pages[one] = draw.choice((pages[other], bytes(4096), b"\xff" * 4096, draw.randbytes(4096)))
    cut = draw.choice((len(pages), len(pages), draw.randrange(1, len(pages))))
    path.write_bytes(b"".join(pages[:cut]))


KINDS: tuple[Callable[[Path, random.Random], None], ...] = (
    trigger, view, more, wrong_value, strict_no_more, way_back, very_many, header, tables, spoiled_bytes, spoiled_pages,
)  # fmt: skip


def commands(path: Path, folder: Path) -> tuple[tuple[object, ...], ...]:
    """The commands that are run on each, undo and redo as the last."""
    return (
        ("history", path),
        ("lesson", path, "1"),
        ("fairness", path, "--json"),
        ("export", path, "--groups", folder / "groups.csv"),
        ("sheets", path, "--lesson", 1, "--to", folder / "sheets"),
        ("report", path, "--to", folder / "report.html"),
        ("redo", path),
        ("undo", path),
    )


@dataclass(frozen=True)
class Ended:
    """How a command ended: exit status (negative for a signal), its error stream, seconds, megabytes."""

    status: int
    said: str
    seconds: float
    megabytes: float


def run(arguments: tuple[object, ...], said: Path) -> Ended:
    """A command in a process of its own, which may run four times as long as it should."""
    begun = time.monotonic()
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (int(4 * SECONDS), int(4 * SECONDS)))
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 2)
        try:
            main([str(argument) for argument in arguments])
        except SystemExit as end:
            sys.stderr.flush()
            os._exit(int(end.code or 0))
        os._exit(70)
    _, status, used = os.wait4(child, 0)
    seconds = min(time.monotonic() - begun, used.ru_utime + used.ru_stime)
    return Ended(os.waitstatus_to_exitcode(status), said.read_text(errors="replace"), seconds, used.ru_maxrss / 1024)


def fault(ended: Ended, folder: Path) -> str:
    """What is wrong with how a command ended; empty where nothing is."""
    said = ended.said.strip().replace(f"{folder}/", "")
    if ended.status not in (0, 2):
        return f"status {ended.status}"
    if ended.status == 2 and (not said or "\n" in said or len(said) > LETTERS or not said.isprintable()):
        return "no short sentence"
    if ended.seconds > SECONDS:
        return f"{ended.seconds:.0f} s"
    return f"{ended.megabytes:.0f} MB" if ended.megabytes > MEGABYTES else ""


def attack(path: Path, folder: Path) -> tuple[list[str], list[Ended]]:
    """All commands on one file; what was wrong, and how each ended."""
    faults, ends = [], []
    for arguments in commands(path, folder):
        before = path.read_bytes()
        ended = run(arguments, folder / "said")
        ends.append(ended)
        wrong = fault(ended, folder)
        if not wrong and path.read_bytes() != before and not (arguments[0] in ("redo", "undo") and ended.status == 0):
            wrong = "the file was changed"
        if wrong:
            faults.append(f"{arguments[0]}: {wrong}: {ended.said.strip()[-300:]}")
    return faults, ends


@dataclass
class Tally:
    """What came of all files."""

    tried: Counter[str] = field(default_factory=Counter)
    survived: Counter[str] = field(default_factory=Counter)
    statuses: Counter[int] = field(default_factory=Counter)
    slowest: float = 0.0
    largest: float = 0.0

    def add(self, kind: str, faults: list[str], ends: list[Ended]) -> None:
        """One file more."""
        self.tried[kind] += 1
        self.survived[kind] += not faults
        self.statuses.update(ended.status for ended in ends)
        self.slowest = max(self.slowest, *(ended.seconds for ended in ends))
        self.largest = max(self.largest, *(ended.megabytes for ended in ends))

    def __str__(self) -> str:
        rows = (f"| {kind} | {count} | {self.survived[kind]} |" for kind, count in self.tried.items())
        ended = f"exit statuses {dict(self.statuses)}; slowest {self.slowest:.1f} s, largest {self.largest:.0f} MB"
        return "\n".join((*rows, f"all {self.tried.total()}, survived {self.survived.total()}", ended))


def attack_all(folder: Path, how_many: int, seed: int, tally: Tally) -> None:
    """Make them, and run the commands."""
    sound, path = folder / "sound.class", folder / "7b.class"
    with_all_tables(sound)
    for number in range(how_many):
        for left in folder.glob("7b.class*"):
            left.unlink()
        path.write_bytes(sound.read_bytes())
        kind = KINDS[number % len(KINDS)]
        kind(path, random.Random(f"{seed} {number}"))
        faults, ends = attack(path, folder)
        tally.add(kind.__name__, faults, ends)
        for line in faults:
            print(f"{kind.__name__} {number}: {line}", flush=True)
        if number % 33 == 32:
            print(tally, flush=True)


if __name__ == "__main__":
    tally = Tally()
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    with tempfile.TemporaryDirectory() as name, suppress(KeyboardInterrupt):
        attack_all(Path(name), how_many, seed, tally)
    print(tally)
