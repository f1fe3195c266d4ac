"""Reports from their views, each one page that needs nothing else."""

from __future__ import annotations

from grouper.faces.sheets.html import page_html, template_text
from grouper.faces.sheets.report_map import map_blocks
from grouper.faces.views.look import look_css
from grouper.faces.views.report_view import ReportView


def report_page(view: ReportView) -> str:
    """The report on a class."""
    blocks = map_blocks(view.evidence.map) if view.with_map else ()
    return page_html("report.html", _style(), view=view, blocks=blocks)


def _style() -> str:
    return look_css() + template_text("report.css")
