"""Games, stations and scores in a class file: small changes, faithful undo, and rows that make no sense."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InputError
from grouper.files.store import ClassFile
from grouper.model.play import Score


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "plan")
    return made


def test_a_score_is_one_row(file: ClassFile) -> None:
    """Entering a result writes one row and a line in the log, not the day anew."""
    (day,) = state(1).games
    with file.change("result") as edit:
        edit.record = edit.record.with_event(day.with_assignment(replace(day.assignments[2], score=Score(3, 4))))
    assert file.read().record.games[0].assignments[2].score == Score(3, 4)
    with closing(sqlite3.connect(file.path)) as database:
        (way_back,) = database.execute("SELECT undo FROM change ORDER BY number DESC LIMIT 1").fetchone()
    assert way_back == '[["event_result",[[1,"Game","games",3,1]],[]]]'
    file.undo()
    assert file.read().record == state(1)


def test_games_and_stations_taken_out_leave_no_row(file: ClassFile) -> None:
    """Nothing dangles, and undo brings all of it back."""
    with file.change("no play") as edit:
        edit.record = replace(edit.record, events=())
    parts = ("team", "place", "closed", "out", "short", "loan", "result", "lineup")
    tables = ("event", "assignment", "assigned", *(f"event_{part}" for part in parts))
    with closing(sqlite3.connect(file.path)) as database:
        assert [database.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in tables] == [0] * 11
    file.undo()
    assert file.read().record == state(1)


def test_an_activity_has_one_day_of_games(file: ClassFile) -> None:
    """Two days of one activity are refused, and nothing is written."""
    (day,) = state(1).games
    with pytest.raises(InputError, match="one appears twice"), file.change("twice") as edit:
        edit.record = replace(edit.record, events=(day, day))
    assert file.read().record == state(1)


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE assigned SET team = 9",
        "UPDATE event_result SET home = -1",
        "DELETE FROM event_team",
        "UPDATE assignment SET at = 9 WHERE kind = 'stations' AND slot = 1 AND at = 1",
        "DELETE FROM setting WHERE name = 'win'",
        "UPDATE event SET play = -1",
    ],
)
def test_rows_that_make_no_sense_are_a_damaged_file(file: ClassFile, damage: str) -> None:
    """Whoever wrote them, the file is said to be damaged, not shown half."""
    with closing(sqlite3.connect(file.path)) as database:
        database.execute(damage)
        database.commit()
    with pytest.raises(InputError, match="is damaged"):
        file.read()
