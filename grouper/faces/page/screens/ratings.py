"""Ratings that results suggest, and ratings from a test: looked at, and accepted one by one."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.screens.roll import rated
from grouper.faces.page.state import desk, field, file_sent, open_class
from grouper.faces.page.verbs import Done
from grouper.faces.views.suggestions_view import (
    KINDS,
    columns_of,
    measured_from,
    rank_line,
    strand_part,
    suggestions_view,
)
from grouper.faces.wording.changes import accepted_in_words
from grouper.files.cells import number
from grouper.files.measures import read_measures
from grouper.learning.about import named
from grouper.learning.measured import suggestions_from
from grouper.learning.suggest import accepted, suggestions
from grouper.model.record import ClassRecord

suggested = Blueprint("suggested", __name__, url_prefix="/c/<name>/suggestions")


@suggested.get("", endpoint="look")
def look_at_suggested(name: str) -> str:
    """What games and tasks suggest about ratings."""
    shown = open_class(name, "class")
    strand = request.args.get("strand", "")
    return render_template(
        "suggested.html", shown=shown, view=suggestions_view(shown.record, strand or None), strand=strand
    )


@suggested.post("", endpoint="accept")
def accept_suggested(name: str) -> Response:
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


test_results = Blueprint("test_results", __name__, url_prefix="/c/<name>/test-results")


@test_results.get("")
def ask(name: str) -> str:
    """Choose a table."""
    return render_template("test_results.html", shown=open_class(name, "class"), part=None, summary="", strand="")


@test_results.post("/table", endpoint="look")
def look_at_table(name: str) -> str:
    """What ratings would come of the table; nothing is kept of it."""
    given, kind, strand = file_sent("a file"), field("kind"), field("strand")
    if kind not in KINDS or not strand:
        raise InputError("say which rating the test is about, such as fitness, and which results are better")
    shown = open_class(name, "class")
    reading = read_measures(given, shown.record.roster, columns_of(kind))
    measured = measured_from(reading, kind)
    part = strand_part(shown.record, strand, suggestions_from(shown.record, strand, measured))
    summary = ". ".join(filter(None, [reading.summary, rank_line(shown.record, measured)]))
    return render_template("test_results.html", shown=shown, part=part, summary=summary, strand=strand)


@test_results.post("", endpoint="accept")
def accept_tested(name: str) -> Response:
    """The ratings that are ticked are taken over, each sent back with its student."""
    strand, ticked = field("strand"), [text.partition(" ") for text in request.form.getlist("take")]
    if not ticked:
        raise InputError("tick the ratings to accept first")

    def verb(record: ClassRecord) -> Done:
        if strand not in record.roster.strands:
            record = replace(record, roster=replace(record.roster, strands=(*record.roster.strands, strand)))
        for value, _, student in ticked:
            record, _said = rated(record, student, strand, _number(value))
        return record, accepted_in_words(len(ticked), [strand])

    desk().change(name, verb)
    return redirect(url_for("roll.roster", name=name, strand=strand), 303)


def _number(text: str) -> float:
    value = number(text)
    if value is None or abs(value) >= 1e6:
        raise InputError("'{text}' is no rating", "read the table again", text=text)
    return value
