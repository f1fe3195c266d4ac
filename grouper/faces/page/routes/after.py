"""After a lesson: it ran as planned, or what differed."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.faces.page import how_it_went
from grouper.faces.page.as_it_ran import as_it_ran
from grouper.faces.page.state import desk, field, open_class, whole
from grouper.faces.page.views.after import after_view
from grouper.faces.page.views.went import WORDS
from grouper.planning.adjust import reopened, taught

after = Blueprint("after", __name__, url_prefix="/c/<name>/lesson/<int:number>/after")


@after.get("")
def over(name: str, number: int) -> str:
    """The lesson to be closed, or closed already."""
    shown = open_class(name, "today")
    return render_template("after.html", shown=shown, view=after_view(shown.record, number), words=WORDS)


@after.post("/as-planned")
def as_planned(name: str, number: int) -> Response:
    """It ran as it stands."""
    desk().change(name, lambda record: (taught(record, number), f"lesson {number} taught"))
    return _back(name, number)


@after.post("/differed")
def differed(name: str, number: int) -> Response:
    """It ran with other groups, given as a label for each student in each round; what was not touched stays."""
    were, now = _labels("was"), _labels("ran")
    changed = {spot: label for spot, label in now.items() if label != were.get(spot)}
    desk().change(name, lambda record: as_it_ran(record, number, changed))
    return _back(name, number)


def _labels(kind: str) -> dict[tuple[int, str], str]:
    return {
        (int(place), student): label.strip()
        for key, label in request.form.items()
        for start, _, rest in [key.partition("-")]
        for place, _, student in [rest.partition("-")]
        if start == kind and place.isdecimal()
    }


@after.post("/note")
def note(name: str, number: int) -> Response:
    """A note on the lesson."""
    text = "\n".join(line.rstrip() for line in request.form.get("note", "").splitlines())
    desk().change(name, lambda record: how_it_went.with_note(record, number, text))
    return _back(name, number)


@after.post("/felt")
def felt(name: str, number: int) -> Response:
    """A word was tapped for a group; the button says which word and which group."""
    place = whole("place", 0)
    word, _, label = request.form.get("tapped", "").partition(":")
    desk().change(name, lambda record: how_it_went.felt(record, number, place, label, word))
    return _back(name, number)


@after.post("/counted")
def counted(name: str, number: int) -> Response:
    """Successes of attempts were typed for the groups of a round."""
    place, form = whole("place", 0), request.form
    labels = {key[6:]: label for key, label in form.items() if key.startswith("label-")}
    were, now = (
        {label: (field(f"{kind}hits-{at}"), field(f"{kind}tries-{at}")) for at, label in labels.items()}
        for kind in ("was-", "")
    )
    desk().change(name, lambda record: how_it_went.counted(record, number, place, were, now))
    return _back(name, number)


@after.post("/reopen")
def reopen(name: str, number: int) -> Response:
    """It was not taught after all."""
    desk().change(name, lambda record: (reopened(record, number), f"lesson {number} not taught after all"))
    return _back(name, number)


def _back(name: str, number: int) -> Response:
    return redirect(url_for("after.over", name=name, number=number), 303)
