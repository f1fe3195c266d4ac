"""A class file from somebody else: what is not grouper's is refused in a sentence, unread and unchanged."""

from __future__ import annotations

import json
import os
import socket
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InputError
from grouper.files.store import ClassFile
from grouper.files.store.inspection import KEPT, MOST_STUDENTS
from grouper.files.store.restoring import restore
from grouper.files.store.schema import MIGRATIONS

RECURSIVE = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)"


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A file with one change that can be undone."""
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "plan")
    with made.change("state 2") as edit:
        edit.record = state(2)
    return made


def tampered(file: ClassFile, *statements: str) -> ClassFile:
    """The file after somebody else has run statements on it."""
    with closing(sqlite3.connect(file.path)) as database:
        database.execute("PRAGMA writable_schema = ON")
        for statement in statements:
            database.execute(statement)
        database.commit()
    return file


def assert_refused(file: ClassFile, *verbs: Callable[[], object], match: str = "7b.class") -> None:
    """Each verb ends at once with one line that is not long, and the file is as it was."""
    before = file.path.read_bytes()
    for verb in verbs or (file.read, file.history, file.undo, lambda: file.forget("001")):
        begun = time.monotonic()
        with pytest.raises(InputError, match=match) as caught:
            verb()
        assert time.monotonic() - begun < 5
        said = str(caught.value).replace(str(file.path.parent), "")
        assert len(said) <= 300 and said.isprintable()
    assert file.path.read_bytes() == before
    assert [path.name for path in file.path.parent.iterdir()] == [file.path.name]


@pytest.mark.parametrize(
    "statements",
    [
        ("CREATE TABLE more (name TEXT)",),
        ("CREATE INDEX quick ON student (name)",),
        ("CREATE VIEW all_of_it AS SELECT * FROM student",),
        ("CREATE TRIGGER quietly AFTER INSERT ON change BEGIN DELETE FROM taught; END",),
        ("ALTER TABLE student ADD COLUMN weight REAL",),
        ("ALTER TABLE student ADD COLUMN loud TEXT GENERATED ALWAYS AS (upper(name))",),
        ("DROP TABLE note", f"CREATE VIEW note AS {RECURSIVE} SELECT i AS lesson, 1 AS place, 'x' AS text FROM n"),
        ("DROP TABLE taught", "CREATE TABLE taught (lesson TEXT PRIMARY KEY)"),
        ("DROP TABLE taught",),
        ("ANALYZE",),
        ("UPDATE sqlite_master SET rootpage = 2 WHERE name = 'taught'",),
        *[(f"PRAGMA user_version = {form}",) for form in (-5, *range(len(MIGRATIONS)))],
    ],
    ids=str,
)
def test_other_tables(file: ClassFile, statements: tuple[str, ...]) -> None:
    """More tables, fewer, or others than a file of this form has; code that would run when the file is read."""
    assert_refused(tampered(file, *statements))


def test_very_many_tables(file: ClassFile) -> None:
    """They are not all read before they are refused."""
    tampered(file, *(f"CREATE TABLE t{number} (a, b, c)" for number in range(4000)))
    begun = time.monotonic()
    assert_refused(file, file.read)
    assert time.monotonic() - begun < 2


def test_tables_that_are_only_listed(file: ClassFile, tmp_path: Path) -> None:
    """A hundred thousand lines in the list of tables: no first look at it reads them all, nor does restore."""
    listed = "SELECT 'table', 't' || i, 't' || i, 2, 'CREATE TABLE t' || i || '(a)' FROM n LIMIT 100000"
    tampered(file, f"INSERT INTO sqlite_master {RECURSIVE} {listed}")
    begun = time.process_time()
    assert_refused(file, file.read, lambda: restore(tmp_path / "8b.class", file.path))
    assert time.process_time() - begun < 2


@pytest.mark.parametrize("pragma", ["journal_mode = WAL", "encoding = 'UTF-16'"])
def test_another_way_of_keeping_the_file(file: ClassFile, pragma: str) -> None:
    """It is told, and not turned back behind anybody's back."""
    with closing(sqlite3.connect(file.path, isolation_level=None)) as database:
        dump = "\n".join(database.iterdump())
        database.execute(f"PRAGMA {pragma}")
    if "encoding" in pragma:
        file.path.unlink()
        with closing(sqlite3.connect(file.path)) as database:
            database.execute(f"PRAGMA {pragma}")
            database.executescript(dump)
            database.execute("PRAGMA application_id = 0x67727570")
            database.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
    assert_refused(file, file.read, file.undo, match="rewritten by another program")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE student SET name = x'00ff' WHERE key = 1",
        "UPDATE student SET first_lesson = 'one' WHERE key = 1",
        "UPDATE activity SET rounds = 1000000000000",
        "UPDATE activity SET minutes = 'long'",
        "UPDATE lesson SET number = number + 9000000000000000000",
        "UPDATE note SET text = printf('%.*c', 400000, 'x')",
        "UPDATE seat SET student = 99",
        "UPDATE seat SET layer = 'nowhere' WHERE layer = 'now'",
        'DELETE FROM seat WHERE "group" = 1',
        "DELETE FROM round WHERE round = 1",
        "DELETE FROM past_round",
        "DELETE FROM setting",
        "UPDATE setting SET value = 'nan'",
    ],
)
def test_values_that_make_no_sense(file: ClassFile, statement: str) -> None:
    """Texts for numbers, numbers beyond sense, texts beyond length, people who are not there."""
    assert_refused(tampered(file, statement), file.read, file.undo)


def test_more_than_any_class_has(file: ClassFile) -> None:
    """Counted while it is read; and the limit is one that a file of ours never passes."""
    many = f"{RECURSIVE} INSERT INTO student SELECT i + 99, i + 99, 'x' || i, 'y', '', '', 1, NULL FROM n LIMIT {{}}"
    assert_refused(tampered(file, many.format(MOST_STUDENTS)), file.read, match="more rows of student")


def test_a_long_list_of_changes(file: ClassFile) -> None:
    """No more than a hundred are ever kept."""
    many = f"{RECURSIVE} INSERT INTO change SELECT i + 99, '', '', NULL, '' FROM n LIMIT {KEPT}"
    assert_refused(tampered(file, many), file.read, match="list of changes")


@pytest.mark.parametrize("version", ["NULL", "x'00'", "''", "printf('%.*c', 99, 'x')"])
def test_a_stamp_that_is_not_ours(file: ClassFile, version: str) -> None:
    """A stamp of another kind, or as long as a book; none at all."""
    tampered(file, f"UPDATE OR IGNORE stamp SET version = {version}" if version != "NULL" else "DELETE FROM stamp")
    assert_refused(file, file.read, file.undo)


WAYS_BACK = (
    [["sqlite_master", [], [["x"]]]],
    [["change", [[1]], []]],
    [["taught", [[1, 2]], []]],
    [["taught", [], [["three"]]]],
    [["taught", [], [[True]]]],
    [["taught", [], [[10**30]]]],
    [["taught", [], [[3, 4]]]],
    [["seat", [[1, 1, 1, "now", 1, 1]], []], ["student", [[1]], []]],
    [["student", [], [[1, 1, "001", "twice", "", "", 1, None]]]],
    [["note", [], [[1, 5, "x" * 300_000]]]],
    {"a": 1},
    "text",
    7,
)


NO_JSON = ("[" * 100_000, "no JSON", "[1e999]")


@pytest.mark.parametrize("undo", [*map(json.dumps, WAYS_BACK), *NO_JSON], ids=lambda undo: undo[:40])
def test_ways_back_that_are_not_ours(file: ClassFile, undo: str) -> None:
    """They are looked at before they are carried out: our tables, rows that fit, and a class in the end."""
    with closing(sqlite3.connect(file.path)) as database:
        database.execute("UPDATE change SET undo = ? WHERE undo IS NOT NULL", (undo,))
        database.commit()
    assert_refused(file, file.undo)


def test_messages_carry_nothing_of_the_file_into_the_terminal(file: ClassFile) -> None:
    """A sentence that quotes what it found leaves out control characters, and is not long."""
    tampered(file, "UPDATE activity SET name = char(27) || '[2J' || printf('%.*c', 90000, 'x'), aim = 'none'")
    assert_refused(file, file.read)


@pytest.mark.parametrize("kind", ["pipe", "socket", "dangling link", "loop", "long name", "NUL"])
def test_no_file_at_all(tmp_path: Path, kind: str) -> None:
    """A sentence, at once: nothing is waited for, nothing is made."""
    path = tmp_path / ("x" * 300 if kind == "long name" else "a\0b" if kind == "NUL" else "7b.class")
    with socket.socket(socket.AF_UNIX) as server:
        if kind == "pipe":
            os.mkfifo(path)
        elif kind == "socket":
            server.bind(str(path))
        elif kind in ("dangling link", "loop"):
            path.symlink_to(tmp_path / "nowhere" if kind == "dangling link" else path)
        for verb in (ClassFile(path).read, ClassFile(path).undo):
            with pytest.raises(InputError):
                verb()
        assert len(list(tmp_path.iterdir())) == (kind in ("pipe", "socket", "dangling link", "loop"))
