"""Other ids for the same people: nothing that names a student is left behind."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from importlib import import_module
from pkgutil import iter_modules

from builders import game, games_of

import grouper.model
from grouper.model.play import Score
from grouper.model.record import ClassRecord
from grouper.model.renumbering import IDS, as_called_in, free_id, with_ids
from grouper.model.roster import Roster, Student

NAME_STUDENTS = {"student", "other", "members", "lineup"}
"""Names of fields that hold ids of students."""


def test_every_field_that_names_a_student_is_known() -> None:
    """A fact that is new in the model, and names a student, follows them too: its fields stand in IDS."""
    modules = [import_module(f"grouper.model.{module.name}") for module in iter_modules(grouper.model.__path__)]
    facts = {fact for module in modules for fact in vars(module).values() if isinstance(fact, type)}
    named = {
        (fact, field.name)
        for fact in facts
        if is_dataclass(fact) and fact.__module__.startswith("grouper.model.")
        for field in fields(fact)
        if field.name in NAME_STUDENTS
    }
    assert named == {(fact, name) for fact, names in IDS.items() for name in names if fact is not Student}


def test_two_swap_their_ids_in_the_line_ups_of_a_game() -> None:
    """All at once, so that neither becomes the other on the way."""
    roster = Roster((Student("1", "Ana"), Student("2", "Ben")))
    won = game(1, 1, 1, 2, score=Score(1, 0), lineup=(("1",), ("2",)))
    day = games_of(1, "Game", ("1", "2"), 1, (won,), method="a draw")
    swapped = with_ids(ClassRecord(roster, events=(day,)), {"1": "2", "2": "1"})
    assert [student.id for student in swapped.roster.students] == ["2", "1"]
    assert swapped.games[0].assignments[0].lineup == (("2",), ("1",))
    assert swapped.games[0].teams == ("1", "2")
    assert as_called_in(swapped, roster) == ClassRecord(roster, events=(day,))


def test_an_id_that_is_taken() -> None:
    """It says whose it was, as often as it takes."""
    assert free_id("7", ()) == "7"
    assert free_id("7", {"7"}) == "was 7"
    assert free_id("7", {"7", "was 7"}) == "was 7 (2)"
