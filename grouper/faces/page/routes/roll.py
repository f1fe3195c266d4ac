"""The class: names, ratings by tapping along a row, requests by picking two names."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from urllib.parse import parse_qsl

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import ratings
from grouper.faces.page.asking import AskFirst, ask_about_namesake, asking_for_losses, is_sure, wants_other
from grouper.faces.page.checks import check_unit
from grouper.faces.page.state import desk, field, open_class, whole
from grouper.faces.page.taps import Refused, each_tap
from grouper.faces.page.today import lesson_of_the_day
from grouper.faces.page.verbs import Done
from grouper.faces.page.views.roll import roll_view
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.planning.attend import first_open_lesson, namesakes

roll = Blueprint("roll", __name__, url_prefix="/c/<name>")


@roll.get("/class")
def roster(name: str) -> str:
    """The students and their ratings."""
    return _roster(name, request.args.get("strand", ""))


def _roster(name: str, strand: str, refused: Refused = ()) -> str:
    shown = open_class(name, "class")
    view = roll_view(shown.record, strand)
    return render_template("roll.html", shown=shown, view=view, steps=ratings.STEPS, refused=refused)


@roll.post("/class/rate")
def rate(name: str) -> Response:
    """A step of a row was tapped; the button says which step and whose row."""
    _rate(name, request.form)
    return _to_roster(name, field("strand"))


@roll.post("/class/rate-taps")
def rate_taps(name: str) -> str:
    """Several steps were tapped, one after the other."""
    strand = dict(parse_qsl(next(iter(request.form.getlist("taps")), ""))).get("strand", "")
    return _roster(name, strand, each_tap(lambda fields: _rate(name, fields)))


def _rate(name: str, fields: Mapping[str, str]) -> None:
    value, _, student = fields.get("tapped", "").partition(":")
    strand, number = fields.get("strand", ""), _number(value)
    desk().change(name, lambda record: ratings.rated(record, student, strand, number))


@roll.post("/class/rate-all")
def rate_all(name: str) -> Response:
    """Ratings of a whole column were typed."""
    strand = field("strand")
    typed = {key[6:]: _number(" ".join(text.split())) for key, text in request.form.items() if key[:6] == "rated-"}

    def verb(record: ClassRecord) -> Done:
        for student, number in typed.items():
            record, _ = ratings.rated(record, student, strand, number)
        return record, f"ratings in {strand}"

    desk().change(name, verb)
    return _to_roster(name, strand)


def _number(text: str) -> float | None:
    if not text:
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise InputError(f"'{text}' is no number; write one, or leave it empty") from None


@roll.post("/class/strand")
def strand(name: str) -> Response:
    """One more strand."""
    added = field("new_strand")
    desk().change(name, lambda record: ratings.with_strand(record, added))
    return _to_roster(name, added)


@roll.post("/class/student")
def student(name: str) -> Response:
    """A name or an availability was changed."""
    who, called, available = field("student"), field("called"), field("availability")

    def verb(record: ClassRecord) -> Done:
        if called:
            ask_about_namesake(record, called, who)
        return ratings.renamed(record, who, called, available)

    desk().change(name, verb)
    return _to_roster(name, field("strand"))


@roll.post("/class/join")
def joins(name: str) -> Response:
    """Somebody is new in the class, or back in it; where the name is known the page asks who it is."""
    joined = field("joined")

    def verb(record: ClassRecord) -> Done:
        back = _who_is_back(record, joined)
        return ratings.joins(record, joined, _from_now(record), back)

    desk().change(name, asking_for_losses(verb))
    return _to_roster(name, field("strand"))


def _who_is_back(record: ClassRecord, name: str) -> str:
    """The id of somebody who has left and is back, empty for a new student; asked where it can be either."""
    ask_about_namesake(record, name)
    left = next((student for student in namesakes(record, name) if student.archived), None)
    if left is None or wants_other():
        return ""
    if is_sure():
        return left.id
    raise AskFirst(f"{left.name} has been in the class before.", (), "The same student is back", "It is somebody else")


@roll.post("/class/leave")
def leaves(name: str) -> Response:
    """Somebody has left the class."""
    who = field("student")
    desk().change(name, asking_for_losses(lambda record: ratings.leaves(record, who, _from_now(record))))
    return _to_roster(name, field("strand"))


def _from_now(record: ClassRecord) -> int:
    """The lesson from which on somebody joins or leaves: today's while it is open, else the next that is."""
    today = lesson_of_the_day(record, date.today())
    return today if today is not None and today not in record.taught else first_open_lesson(record)


def _to_roster(name: str, strand: str) -> Response:
    return redirect(url_for("roll.roster", name=name, strand=strand or None), 303)


@roll.get("/requests")
def requests(name: str) -> str:
    """What was asked for, and whether it can all be met."""
    shown = open_class(name, "class")
    view = roll_view(shown.record, "")
    return render_template("requests.html", shown=shown, view=view, check=check_unit(shown.record))


@roll.post("/requests")
def ask(name: str) -> Response:
    """Two names were picked."""
    if not field("one") or not field("other"):
        raise InputError("pick two names")
    if field("one") == field("other"):
        raise InputError("pick two different names")
    first, last = whole("first", 0) or None, whole("last", 0) or None
    wish = Request(field("kind"), field("one"), field("other"), first, last)
    desk().change(name, lambda record: ratings.asked(record, wish))
    return redirect(url_for("roll.requests", name=name), 303)


@roll.post("/requests/remove")
def remove(name: str) -> Response:
    """A request is taken back."""
    place, pair = whole("place", -1), (field("one"), field("other"))
    desk().change(name, lambda record: ratings.unasked(record, place, pair))
    return redirect(url_for("roll.requests", name=name), 303)
