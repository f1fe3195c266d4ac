"""Evidence, for the teacher alone: the class, and one student."""

from __future__ import annotations

from flask import Blueprint, render_template, request

from grouper.faces.page.state import open_class
from grouper.faces.page.verbs import known
from grouper.faces.views.evidence import evidence_view, student_view

evidence = Blueprint("evidence", __name__, url_prefix="/c/<name>/evidence")


@evidence.get("")
def of_class(name: str) -> str:
    """The map, partners, turns, spreads, and planned beside actual."""
    shown = open_class(name, "evidence")
    view = evidence_view(shown.record, _whole()) if shown.record.plan.rounds else None
    return render_template("evidence.html", shown=shown, view=view)


@evidence.get("/student/<path:student>")
def of_student(name: str, student: str) -> str:
    """With whom one student worked, and when."""
    shown = open_class(name, "evidence")
    person = known(shown.record, student)
    return render_template("student.html", shown=shown, view=student_view(shown.record, person.id, _whole()))


def _whole() -> bool:
    return request.args.get("over") == "unit"
