"""Ratings that results suggest: looked at, and accepted one by one or all at once."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.state import desk, field, open_class
from grouper.faces.page.verbs import Done
from grouper.faces.views.suggestions_view import suggestions_view
from grouper.faces.wording.changes import accepted_in_words
from grouper.learning.about import named
from grouper.learning.suggest import accepted, suggestions
from grouper.model.record import ClassRecord

suggested = Blueprint("suggested", __name__, url_prefix="/c/<name>/suggestions")


@suggested.get("")
def look(name: str) -> str:
    """What games and tasks suggest about ratings."""
    shown = open_class(name, "class")
    strand = request.args.get("strand", "")
    return render_template(
        "suggested.html", shown=shown, view=suggestions_view(shown.record, strand or None), strand=strand
    )


@suggested.post("")
def accept(name: str) -> Response:
    """Some are accepted, each named by its strand's place and the student's id."""
    strand, ticked = field("strand"), set(request.form.getlist("take"))
    if not ticked:
        raise InputError("tick the ratings to accept first")

    def verb(record: ClassRecord) -> Done:
        seen = named(record, strand) if strand else record
        taken = [s for s in suggestions(seen, strand or None) if f"{s.suggested:g} {s.strand} {s.student}" in ticked]
        if len(taken) < len(ticked):
            raise InputError("the suggestions have changed meanwhile; look at them again")
        what = accepted_in_words(len(taken), list(dict.fromkeys(each.strand for each in taken)))
        return accepted(seen, taken), what

    desk().change(name, verb)
    return redirect(url_for("suggested.look", name=name, strand=strand or None), 303)
