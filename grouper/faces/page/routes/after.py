"""After a lesson: it ran as planned, or what differed."""

from __future__ import annotations

from collections.abc import Callable

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.faces.page import how_it_went
from grouper.faces.page.as_it_ran import as_it_ran
from grouper.faces.page.as_shown import check_as_shown, lesson_mark, round_marks, unit_mark
from grouper.faces.page.desk import Verb
from grouper.faces.page.state import desk, field, open_class, whole
from grouper.faces.page.verbs import Done, known
from grouper.faces.page.views.after import after_view
from grouper.faces.page.views.went import WORDS
from grouper.model.record import ClassRecord
from grouper.planning.adjust import reopened, taught
from grouper.planning.admit import with_rest

Mark = Callable[[ClassRecord], str]
"""What a form says that its page showed."""

after = Blueprint("after", __name__, url_prefix="/c/<name>/lesson/<int:number>/after")


@after.get("")
def over(name: str, number: int) -> str:
    """The lesson to be closed, or closed already."""
    shown = open_class(name, "today")
    return render_template("after.html", shown=shown, view=after_view(shown.record, number), words=WORDS)


@after.post("/as-planned")
def as_planned(name: str, number: int) -> Response:
    """It ran as it stands, up to the round that was chosen."""
    up_to = _got_to()

    def verb(record: ClassRecord) -> Done:
        said = "" if up_to is None else f" up to round {up_to}"
        return taught(record, number, up_to=up_to), f"lesson {number} taught{said}"

    _change(name, verb, lambda record: lesson_mark(record, number))
    return _back(name, number)


def _got_to() -> int | None:
    """The last round that was held, None where it was the last of the lesson."""
    got_to, last = whole("got_to", 0), whole("last", 0)
    return got_to if 0 < got_to < last or (got_to and field("again")) else None


@after.post("/rest")
def rest(name: str, number: int) -> Response:
    """What was left is put into another lesson."""
    target = whole("target", 0)
    what = f"what was left of lesson {number} is in lesson {target}"
    _change(name, lambda record: (with_rest(record, number, target), what), unit_mark)
    return _back(name, number)


@after.post("/differed")
def differed(name: str, number: int) -> Response:
    """It ran with other groups, given as a label for each student in each round; what was not touched stays."""
    were, now = _labels("was"), _labels("ran")
    changed = {spot: label for spot, label in now.items() if label != were.get(spot)}
    shown = {place: field(f"shown-{place}") for place, _ in changed}
    up_to = _got_to()

    def verb(record: ClassRecord) -> Done:
        marks = round_marks(record, number)
        for place, mark in shown.items():
            check_as_shown(marks.get(place, ""), mark)
        return as_it_ran(record, number, changed, up_to)

    desk().change(name, verb)
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
    _change(name, lambda record: how_it_went.with_note(record, number, text), unit_mark)
    return _back(name, number)


@after.post("/coached")
def coached(name: str, number: int) -> Response:
    """A name was tapped: that student was the coach."""
    place, student = whole("place", 0), field("tapped")

    def verb(record: ClassRecord) -> Done:
        return how_it_went.coached(record, number, place, known(record, student).id)

    _change(name, verb, lambda record: round_marks(record, number).get(place, ""))
    return _back(name, number)


@after.post("/felt")
def felt(name: str, number: int) -> Response:
    """A word was tapped for a group; the button says which word and which group."""
    place = whole("place", 0)
    word, _, label = request.form.get("tapped", "").partition(":")
    _change(
        name,
        lambda record: how_it_went.felt(record, number, place, label, word),
        lambda record: round_marks(record, number).get(place, ""),
    )
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
    _change(
        name,
        lambda record: how_it_went.counted(record, number, place, were, now),
        lambda record: round_marks(record, number).get(place, ""),
    )
    return _back(name, number)


@after.post("/reopen")
def reopen(name: str, number: int) -> Response:
    """It was not taught after all."""
    _change(name, lambda record: (reopened(record, number), f"lesson {number} not taught after all"), unit_mark)
    return _back(name, number)


def _change(name: str, verb: Verb, mark: Mark) -> None:
    """Run a verb on what the page showed, and on nothing else that goes by the same number or label now."""
    shown = field("shown")

    def checked(record: ClassRecord) -> Done:
        check_as_shown(mark(record), shown)
        return verb(record)

    desk().change(name, checked)


def _back(name: str, number: int) -> Response:
    return redirect(url_for("after.over", name=name, number=number), 303)
