"""After a lesson: it ran as planned, or what differed."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.faces.page.as_it_ran import groups_as_they_ran
from grouper.faces.page.state import desk, open_class
from grouper.faces.page.views.after import after_view
from grouper.planning.adjust import reopened, taught

after = Blueprint("after", __name__, url_prefix="/c/<name>/lesson/<int:number>/after")


@after.get("")
def over(name: str, number: int) -> str:
    """The lesson to be closed, or closed already."""
    shown = open_class(name, "today")
    return render_template("after.html", shown=shown, view=after_view(shown.record, number))


@after.post("/as-planned")
def as_planned(name: str, number: int) -> Response:
    """It ran as it stands."""
    desk().change(name, lambda record: (taught(record, number), f"lesson {number} taught"))
    return _back(name, number)


@after.post("/differed")
def differed(name: str, number: int) -> Response:
    """It ran with other groups, given as a label for each student in each round."""
    labels = {
        (int(place), student): label.strip()
        for key, label in request.form.items()
        for kind, _, rest in [key.partition("-")]
        for place, _, student in [rest.partition("-")]
        if kind == "ran" and place.isdecimal()
    }
    desk().change(
        name,
        lambda record: (
            taught(record, number, groups_as_they_ran(record, number, labels)),
            f"lesson {number} taught, as it really ran",
        ),
    )
    return _back(name, number)


@after.post("/reopen")
def reopen(name: str, number: int) -> Response:
    """It was not taught after all."""
    desk().change(name, lambda record: (reopened(record, number), f"lesson {number} not taught after all"))
    return _back(name, number)


def _back(name: str, number: int) -> Response:
    return redirect(url_for("after.over", name=name, number=number), 303)
