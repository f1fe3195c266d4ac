"""The sheets of a lesson as files."""

from __future__ import annotations

import os
from pathlib import Path

from grouper.errors import InputError
from grouper.faces.views.student_lesson import student_lesson_view
from grouper.faces.views.task_cards import task_cards
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.files.class_kind import refuse_class_file
from grouper.model.record import ClassRecord


def write_sheets(record: ClassRecord, lesson: int, folder: Path, at_places: bool = False) -> tuple[Path, ...]:
    """Write the sheet for the wall, that for the teacher, and where groups have different tasks these on cards.

    The folder is made where there is none. All are put in place only when all are complete, each in one step, so that
    nobody ever opens half a sheet. With ``at_places`` there is a card a task and not a group.

    Raises
    ------
    InputError
        There is no such lesson, it has no groups yet, or the folder can't be written to.
    """
    from grouper.faces.sheets.pages import task_cards_page, teacher_page, wall_page

    sheets = {
        folder / f"lesson-{lesson:02d}-wall.html": wall_page(student_lesson_view(record, lesson)),
        folder / f"lesson-{lesson:02d}-teacher.html": teacher_page(teacher_lesson_view(record, lesson)),
    }
    cards = task_cards(record, lesson, at_places)
    if cards.cards:
        sheets[folder / f"lesson-{lesson:02d}-tasks.html"] = task_cards_page(cards)
    put_sheets(sheets, folder)
    return tuple(sheets)


def put_sheets(sheets: dict[Path, str], folder: Path) -> None:
    """Put sheets in a folder, made where there is none, when all of them are complete, each in one step.

    Raises
    ------
    InputError
        The folder can't be written to, or a class file stands in the place of a sheet.
    """
    for path in sheets:
        refuse_class_file(path)
    try:
        _put(sheets)
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(f"the sheets can't be written to '{folder}' ({reason}); choose another folder") from error


def _put(sheets: dict[Path, str]) -> None:
    drafts = {path: path.with_name(f".{path.name}.{os.getpid()}.part") for path in sheets}
    try:
        for path, text in sheets.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            _write(drafts[path], text)
        for path, draft in drafts.items():
            draft.replace(path)
    finally:
        for draft in drafts.values():
            draft.unlink(missing_ok=True)


def _write(path: Path, text: str) -> None:
    """Write a text and wait until it is on the disk."""
    with path.open("w", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
