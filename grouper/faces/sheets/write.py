"""The sheets of a lesson as files."""

from __future__ import annotations

from collections.abc import Callable, Collection
from pathlib import Path

from grouper.errors import InputError
from grouper.faces.views.students import student_lesson_view
from grouper.faces.views.teacher_lesson import teacher_lesson_view
from grouper.files.atomic import refuse_to_replace, write_together
from grouper.model.record import ClassRecord


def write_sheets(
    record: ClassRecord, lesson: int, folder: Path, at_places: bool = False, if_away: bool = True
) -> tuple[Path, ...]:
    """Write the sheet for the wall, that for the teacher, and where groups have different tasks these on cards.

    The folder is made where there is none. All are put in place only when all are complete, each in one step, so that
    nobody ever opens half a sheet. With ``at_places`` there is a card a task and not a group. The teacher's sheet says
    who moves where if somebody is away, unless ``if_away`` is false: that costs a repair a student.

    Raises
    ------
    InputError
        There is no such lesson, it has no groups yet, or the folder can't be written to.
    """
    kinds = sheets_of(record, lesson, at_places, if_away)
    sheets = {folder / f"lesson-{lesson:02d}-{kind}.html": sheet() for kind, sheet in kinds.items()}
    put_sheets(sheets, folder, for_students=(next(iter(sheets)),))
    return tuple(sheets)


def sheets_of(
    record: ClassRecord, lesson: int, at_places: bool = False, if_away: bool = True
) -> dict[str, Callable[[], str]]:
    """How to make each sheet of a lesson, by kind: ``wall``, ``teacher``, and ``tasks`` where groups have different
    ones; otherwise like ``write_sheets``."""
    from grouper.faces.sheets.pages import task_cards_page, teacher_page, wall_page
    from grouper.faces.views.cards import task_cards
    from grouper.faces.views.if_away_view import if_away_view

    def teacher() -> str:
        view = teacher_lesson_view(record, lesson)
        return teacher_page(view, if_away_view(record, lesson) if if_away else None)

    sheets: dict[str, Callable[[], str]] = {
        "wall": lambda: wall_page(student_lesson_view(record, lesson)),
        "teacher": teacher,
    }
    cards = task_cards(record, lesson, at_places) if record.plan.of_lesson(lesson) else None
    if cards and cards.cards:
        sheets["tasks"] = lambda: task_cards_page(cards)
    return sheets


def where_sheet(record: ClassRecord, lesson: int) -> str:
    """Everybody by the alphabet with their group in each round (InputError as in ``write_sheets``)."""
    from grouper.faces.sheets.pages import where_page

    return where_page(student_lesson_view(record, lesson))


def put_sheets(sheets: dict[Path, str], folder: Path, for_students: Collection[Path] = ()) -> None:
    """Put sheets in a folder, made where there is none, when all of them are complete, each in one step.

    Those that are not ``for_students`` may be read by their owner alone.

    Raises
    ------
    InputError
        The folder can't be written to, or a class file stands in the place of a sheet.
    """
    for path in sheets:
        refuse_to_replace(path)
    try:
        for path in sheets:
            path.parent.mkdir(parents=True, exist_ok=True)
        write_together({path: text.encode("utf-8") for path, text in sheets.items()}, for_students)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise InputError(
            "the sheets can't be written to '{folder}' ({reason})",
            "choose another folder",
            folder=folder,
            reason=reason,
        ) from error
