"""Reports from their views, each one page that needs nothing else."""

from __future__ import annotations

from grouper.faces.sheets.html import page_html, template_text
from grouper.faces.sheets.report_map import map_blocks
from grouper.faces.views.look import look_css
from grouper.faces.views.report_facts import fact_tables
from grouper.faces.views.report_student import StudentReport
from grouper.faces.views.report_view import ReportView
from grouper.files.own_data import Facts


def report_page(view: ReportView) -> str:
    """The report on a class."""
    blocks = map_blocks(view.evidence.map) if view.with_map else ()
    return page_html("report.html", _style(), view=view, blocks=blocks)


def student_page(view: StudentReport) -> str:
    """One student's page."""
    return page_html("report_student.html", _style(), view=view)


def own_data_page(facts: Facts) -> str:
    """What is held on one student, a table for each kind of facts."""
    return page_html("report_own_data.html", _style(), facts=facts, tables=fact_tables(facts))


def _style() -> str:
    return look_css() + template_text("report.css")
