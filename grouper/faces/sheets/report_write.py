"""Reports as texts and as files: on a class, without names, and on one student."""

from __future__ import annotations

from pathlib import Path

from grouper.errors import InputError
from grouper.faces.sheets.write import put_sheets
from grouper.faces.views.report_student import student_report
from grouper.faces.views.report_view import nameless_view, report_view
from grouper.files.own_data import Facts
from grouper.model.record import ClassRecord
from grouper.words import Remedy


def report_text(record: ClassRecord, title: str, whole: bool = False, with_names: bool = True) -> str:
    """The report as HTML, over the lessons taught or over the whole unit.

    Raises
    ------
    InputError
        There are no groups yet.
    """
    from grouper.faces.sheets.report_pages import report_page

    _check_planned(record)
    return report_page(report_view(record, title, whole) if with_names else nameless_view(record, whole))


def student_text(record: ClassRecord, student: str, title: str, whole: bool = False, ratings: bool = False) -> str:
    """One student's page as HTML, for the parents; ``student`` is an id.

    Raises
    ------
    InputError
        There are no groups yet.
    """
    from grouper.faces.sheets.report_pages import student_page

    _check_planned(record)
    return student_page(student_report(record, student, title, whole, ratings))


def own_data_text(facts: Facts) -> str:
    """What a class file holds on one student, as HTML."""
    from grouper.faces.sheets.report_pages import own_data_page

    return own_data_page(facts)


def write_page(text: str, path: Path) -> None:
    """Put a page in its place in one step (InputError where its folder can't be written to)."""
    if path.is_dir():
        raise InputError(
            "'{path}' is a folder",
            "give a name for the file in it, such as {example}",
            path=path,
            example=path / "report.html",
        )
    put_sheets({path: text}, path.parent)


def _check_planned(record: ClassRecord) -> None:
    if not record.plan.rounds:
        raise InputError("there are no groups to report on yet", Remedy.MAKE_GROUPS)
