"""What was learnt is the teacher's alone: no student's sheet or screen changes by it, or knows where it is made."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import pytest
from played import class_with_teams, tap, with_game, with_taps

import grouper
from grouper.faces.sheets.pages import wall_page
from grouper.faces.views.students import student_lesson_view
from grouper.learning.suggest import accepted, suggestions
from grouper.model.noted import Learnt

FACES = Path(grouper.__file__).parent / "faces"
FOR_STUDENTS = [
    FACES / "views" / "students.py",
    FACES / "page" / "screens" / "screen.py",
    *sorted((FACES / "sheets").glob("*.py")),
]


def test_the_wall_is_the_same_whatever_was_learnt() -> None:
    """Byte for byte: before results, with them, and with all suggestions accepted."""
    before = class_with_teams()
    record = with_taps(before, tap("1", "hard"), tap("2", "easy"))
    for _ in range(10):
        record = with_game(record, 1, 2, 14)
    made = suggestions(record)
    assert made
    after = accepted(record, made)
    pages = [wall_page(student_lesson_view(each, lesson)) for each in (before, record, after) for lesson in (1, 2)]
    assert pages[0] == pages[2] == pages[4] and pages[1] == pages[3] == pages[5]


def test_no_number_of_what_was_learnt_is_in_the_bytes() -> None:
    """A guess and a value found nowhere else are not on the wall."""
    record = replace(class_with_teams(), learnt=(Learnt("ana", "passing", 7654321.5, 1234567.25, 1),))
    page = wall_page(student_lesson_view(record, 1))
    assert "76543" not in page and "12345" not in page


@pytest.mark.parametrize("path", FOR_STUDENTS, ids=lambda path: path.name)
def test_what_students_see_does_not_know_suggestions(path: Path) -> None:
    """Neither learning nor the view of suggestions is imported where sheets and screens for students are made."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            module = str(node.module)
            assert not module.startswith("grouper.learning"), path
            assert "suggestions" not in module and "learnt" not in module, path
