"""A file of an older form is brought to today's, with a backup, or stays as it was."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from class_states import rich_state, state

from grouper.errors import InputError
from grouper.files.store import ClassFile, migrate, schema
from grouper.files.store.schema import Migration
from grouper.model.noted import Note
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.model.unit import Activity, Unit

COLOURS = Migration("made up: a colour for each strand", ("ALTER TABLE strand ADD COLUMN colour TEXT DEFAULT 'grey'",))
SEED = Migration("made up: another seed", ("UPDATE setting SET value = '77' WHERE name = 'seed'",))
BROKEN = Migration("made up: fails half way", ("DELETE FROM taught", "UPDATE no_such_table SET a = 1"))


TODAY = len(schema.MIGRATIONS)
"""The form of today."""


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A file in today's form, which a test makes an old one by adding to the migrations."""
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "plan")
    with made.change("state 2") as edit:
        edit.record = state(2)
    return made


def add(monkeypatch: pytest.MonkeyPatch, *migrations: Migration) -> None:
    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, *migrations))


def pragma(path: Path, name: str) -> object:
    with closing(sqlite3.connect(path)) as database:
        return database.execute(f"PRAGMA {name}").fetchone()[0]


def test_an_older_file_is_brought_up_to_date(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading carries out all missing migrations in order and keeps the rest of the record."""
    add(monkeypatch, COLOURS, SEED)
    found = file.read().record
    assert found.seed == 77
    assert found.plan == state(2).plan
    assert pragma(file.path, "user_version") == TODAY + 2
    with closing(sqlite3.connect(file.path)) as database:
        assert database.execute("SELECT colour FROM strand").fetchall() == [("grey",)]


def of_form(number: int, folder: Path, told: list[str] | None = None) -> ClassFile:
    """A file that the grouper of an earlier form wrote, kept here as SQL; what it tells is added to ``told``."""
    path = folder / "old.class"
    with closing(sqlite3.connect(path)) as database:
        database.executescript((Path(__file__).parent / f"form{number}.sql").read_text(encoding="utf-8"))
    return ClassFile(path, tell=lambda _, what: told.append(what) if told is not None else None)


def without_lineups(record: ClassRecord) -> ClassRecord:
    """The record with scores of which nobody wrote down who played."""
    events = (
        replace(event, assignments=tuple(replace(one, lineup=()) for one in event.assignments))
        for event in record.events
    )
    return replace(record, events=tuple(events), chosen_tasks=())


def before_the_fifth(record: ClassRecord) -> ClassRecord:
    """The record without what came with the fifth form: names of teams, levers, the cupboard, adaptations."""
    nameless = tuple(replace(event, called=()) for event in record.events)
    ladders = tuple(one for one in record.challenges if one.levers[0].kind == "")
    return replace(record, events=nameless, challenges=ladders, cupboard=(), adaptations=())


def before_the_sixth(record: ClassRecord) -> ClassRecord:
    """The record without what came with the sixth form: sides that differ on purpose, ways of scoring, points."""
    lessons = (
        replace(lesson, activities=tuple(_with_groups(activity) for activity in lesson.activities))
        for lesson in record.unit.lessons
    )
    events = tuple(replace(event, across=()) for event in record.events)
    return replace(
        record,
        unit=Unit(tuple(lessons)),
        events=events,
        results=tuple(replace(one, points=None, lost=0) for one in record.results),
        challenges=tuple(replace(one, scoring="", own_rule="", two_ways=False) for one in record.challenges),
    )


def _with_groups(activity: Activity) -> Activity:
    return replace(activity, sides="", edge=0, aim="fresh", strand="", groups=3) if activity.sides else activity


@pytest.mark.parametrize("number", [4, 5])
def test_a_file_with_something_of_everything_opens(tmp_path: Path, number: int) -> None:
    """It has something in every column of every table, and comes out whole: the record, what had begun, the log."""
    file = of_form(number, tmp_path)
    with closing(sqlite3.connect(file.path)) as database:
        names = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        for name in names:
            columns = [row[1] for row in database.execute(f'PRAGMA table_info("{name}")')]
            counts = ", ".join(f'count("{column}")' for column in columns)
            assert all(database.execute(f'SELECT {counts} FROM "{name}"').fetchone()), name
    found = file.read().record
    expected = before_the_sixth(rich_state())
    assert found == (before_the_fifth(expected) if number < 5 else expected)
    assert found.begun == {5: 1}
    assert [change.what for change in file.history()] == ["plan", "state 2", "rich"]


def test_changes_of_a_file_of_this_form_are_taken_back_by_any_grouper_of_it(tmp_path: Path) -> None:
    """The ways back in a file that an earlier grouper wrote lead back, and forth again."""
    if TODAY > 5:
        pytest.skip("a file of the fifth form is brought to a newer one, which lets go of the ways back")
    file = of_form(5, tmp_path)
    assert file.redo().what == "no notes"
    assert file.read().record == replace(rich_state(), notes=())
    assert [file.undo().what for _ in range(3)] == ["no notes", "rich", "state 2"]
    assert file.read().record == state(1)


def test_a_file_of_the_third_form_opens(tmp_path: Path) -> None:
    """It has all that it had; where a lesson ended, what was shown and what was taken back are of the fourth."""
    file = of_form(3, tmp_path)
    assert file.read().record == state(2)
    assert [backup.name for backup in file.backups] == ["old.class.form3-1.backup"]
    with file.change("a note") as edit:
        edit.record = replace(edit.record, notes=())
    file.undo()
    assert file.redo().what == "a note"


def test_what_an_earlier_form_took_and_this_one_does_not_opens(tmp_path: Path) -> None:
    """A rating beyond sense is none, names are cut or given; all else stays, and the backup has what was there.

    It is told once, with where it still stands.
    """
    told: list[str] = []
    file = of_form(3, tmp_path, told)
    with closing(sqlite3.connect(file.path)) as database:
        database.execute("UPDATE rating SET value = 9e999 WHERE student = 1")
        database.execute("UPDATE student SET name = printf('%.*c', 300, 'x') WHERE key = 2")
        database.execute("UPDATE student SET name = '  ' WHERE key = 3")
        database.execute("UPDATE activity SET name = printf('%.*c', 300, 'y') WHERE lesson = 1 AND place = 1")
        database.commit()
    found = file.read().record
    file.read()
    assert told == [
        "old.class was brought to a newer form, which does not take all as it was: 1 x rating beyond 10,000,000, left "
        "out; 1 x blank name, now a number; 1 x name of a student, cut at 100 letters; 1 x name of an activity, cut at "
        "120 letters; old.class.form3-1.backup has it still"
    ]
    first, second, third, *rest = found.roster.students
    assert first.ratings == {} and second.name == 100 * "x" and third.name == "student 3"
    assert rest == list(state(2).roster.students[3:]) and found.plan == state(2).plan
    assert found.unit.lessons[0].activities[0].name == 120 * "y"
    with closing(sqlite3.connect(file.backups[0])) as database:
        assert database.execute("SELECT max(value) FROM rating").fetchone() == (float("inf"),)


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_a_file_that_loses_nothing_tells_nothing(tmp_path: Path, number: int) -> None:
    """Being brought to a newer form is nobody's concern."""
    told: list[str] = []
    of_form(number, tmp_path, told).read()
    assert told == []


def test_a_file_of_the_second_form_opens(tmp_path: Path) -> None:
    """It has all that it had; choices and lineups are of later forms."""
    file = of_form(2, tmp_path)
    assert file.read().record == without_lineups(state(2))
    assert [backup.name for backup in file.backups] == ["old.class.form2-1.backup"]


def test_a_file_of_the_first_form_opens(tmp_path: Path) -> None:
    """It has all that it had, and today's defaults."""
    file = of_form(1, tmp_path)
    since = {"notes": (), "results": (), "learnt": (), "past": (), "challenges": ()}
    settings = Settings(half_life=12.0, success=0.75)
    assert file.read().record == replace(without_lineups(state(2)), settings=settings, **since)
    with file.change("a note") as edit:
        edit.record = replace(edit.record, notes=(Note(1, 0, "went well"),))
    assert file.read().record.notes == (Note(1, 0, "went well"),)
    assert len(file.backups) == 1


def test_a_backup_is_made_before(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file as it was stands beside it, once, and opens with the grouper that made it."""
    add(monkeypatch, SEED)
    file.read()
    file.read()
    (backup,) = file.backups
    assert backup.name == f"7b.class.form{TODAY}-1.backup"
    monkeypatch.undo()
    old = ClassFile(backup)
    assert old.read().record == state(2)
    assert old.undo().what == "state 2"
    assert old.read().record == state(1)


def test_a_backup_never_replaces_another(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that is taken is passed over."""
    taken = file.path.with_name(f"7b.class.form{TODAY}-1.backup")
    taken.write_text("mine")
    add(monkeypatch, SEED)
    file.read()
    assert taken.read_text() == "mine"
    assert [backup.name for backup in file.backups] == [taken.name, f"7b.class.form{TODAY}-2.backup"]


def test_a_file_in_todays_form_is_not_backed_up(file: ClassFile, tmp_path: Path) -> None:
    """Reading and changing make no other file."""
    file.read()
    file.undo()
    assert list(tmp_path.iterdir()) == [file.path]


def test_a_migration_that_fails_leaves_the_file_as_it_was(
    file: ClassFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing of it stays, nor of one before it, nor a copy of the file, however often it is tried."""
    before = file.path.read_bytes()
    with monkeypatch.context() as patch:
        add(patch, COLOURS, BROKEN)
        for _ in range(3):
            with pytest.raises(InputError):
                file.read()
    assert file.path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [file.path]
    add(monkeypatch, COLOURS)
    assert file.read().record == state(2)


def test_a_backup_is_for_its_owner_alone(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever may read the file itself."""
    file.path.chmod(0o644)
    add(monkeypatch, SEED)
    file.read()
    assert [backup.stat().st_mode & 0o777 for backup in file.backups] == [0o600]


def test_a_migration_that_is_killed_leaves_one_backup(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed after the backup has its name and before the file is changed: the next takes that backup for its own."""
    add(monkeypatch, SEED)
    old = file.path.read_bytes()
    file.read()
    file.path.write_bytes(old)
    assert file.read().record.seed == 77
    assert len(file.backups) == 1


def test_an_unfinished_copy_goes_with_the_next_command(
    file: ClassFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed while the copy is made: it is nobody else's to read, and the next command removes it."""
    add(monkeypatch, SEED)
    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", lambda *_, **__: None)
        patch.setattr(migrate, "_place_under_free_name", killed)
        with pytest.raises(KeyboardInterrupt):
            file.read()
    (left,) = set(tmp_path.iterdir()) - {file.path}
    assert left.stat().st_mode & 0o777 == 0o600
    assert left in file.backups, "erase names it"
    file.history()
    assert set(tmp_path.iterdir()) == {file.path, *file.backups} and left not in file.backups


def killed(*_: object) -> None:
    raise KeyboardInterrupt


def test_what_was_before_a_migration_cannot_be_undone(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """The way back would speak of old tables, so it goes; the words stay, and later changes can be undone."""
    add(monkeypatch, SEED)
    with pytest.raises(InputError, match="brought to a newer form since"):
        file.undo()
    assert [change.what for change in file.history()] == ["plan", "state 2"]
    with file.change("state 3") as edit:
        edit.record = state(3)
    assert file.undo().what == "state 3"


def test_a_new_file_starts_in_todays_form(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All migrations are carried out on an empty file, without a backup, and its making is the one change."""
    add(monkeypatch, COLOURS, SEED)
    file = ClassFile(tmp_path / "8c.class")
    file.create(state(5), "plan")
    assert file.read().record == state(5)
    assert file.backups == ()
    assert [change.lasting for change in file.history()] == ["it made the class file"]
