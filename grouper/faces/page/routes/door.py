"""At the door and in the middle of a lesson: a tap on a name, and the groups mend themselves."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask import Response as AnyResponse
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import verbs
from grouper.faces.page.guard import ENTER, POLICY
from grouper.faces.page.state import desk, field, open_class, state, whole
from grouper.faces.page.views.door import door_view, usual_since
from grouper.model.record import ClassRecord

door = Blueprint("door", __name__, url_prefix="/c/<name>/lesson/<int:number>")

STATES = ("away", "late", "aside")
PART = "apart"


@door.get("")
def lesson(name: str, number: int) -> str:
    """The door of a lesson."""
    shown = open_class(name, "today", number)
    view = door_view(shown.record, number, shown.marks, desk().running_round(name, number))
    chosen = request.args.get("tap", "away")
    return render_template(
        "door.html",
        shown=shown,
        view=view,
        roles=verbs.USUAL_ROLES,
        tap=chosen if chosen in (*STATES, PART) else "away",
        since=min(request.args.get("since", view.since, type=int), max(len(view.rounds), 1)),
        role=request.args.get("role", verbs.USUAL_ROLES[0]),
        first_of_two=request.args.get("first", ""),
    )


@door.get("/screen")
def to_screen(name: str, number: int) -> AnyResponse:
    """The way to the students' screen, which is another site: its key is in a form, so that it stands in no address."""
    desk().file(name)
    site, key = state().screen_site, state().screen_key(name, number)
    answer = make_response(render_template("to_screen.html", enter=site + ENTER, key=key))
    answer.headers["Content-Security-Policy"] = POLICY.replace("form-action 'self'", f"form-action {site}")
    return answer


@door.post("/tap")
def tap(name: str, number: int) -> Response:
    """A name was tapped: out, back, or one of two who are to be kept apart."""
    student, kind, chosen = field("student") or field("back"), field("tap"), _chosen_since()
    running = desk().running_round(name, number)
    rest = {"tap": kind, "since": chosen, "role": field("role")}
    if kind == PART and not field("first"):
        return _to_door(name, number, {**rest, "first": student})

    def verb(record: ClassRecord) -> verbs.Done:
        since = chosen or usual_since(len(record.lesson(number).keys), running)
        return _tapped(record, number, student, kind, since)

    # Who is to be apart from whom is nobody's business but the teacher's.
    desk().change(name, verb, in_sight=kind != PART)
    return _to_door(name, number, rest if kind != PART else {**rest, "tap": "away"})


def _chosen_since() -> int | None:
    """From which round on a tap counts, where the teacher chose one.

    Else what counts is the screen at the moment of the tap: the page may have been opened rounds ago, and what has
    been played is not to change.
    """
    chosen = whole("since", 1)
    return None if chosen == whole("usual_since", chosen) else chosen


def _tapped(record: ClassRecord, number: int, student: str, kind: str, since: int) -> verbs.Done:
    if kind == PART:
        return verbs.part(record, number, field("first"), student, since)
    if field("back"):
        return verbs.back(record, number, student, since)
    if kind not in STATES:
        raise InputError("choose first what a tap means: away, late or aside")
    return verbs.mark(record, number, student, kind, since, field("role"))


def _to_door(name: str, number: int, rest: dict[str, Any]) -> Response:
    """Back to the door, with what was chosen there; what is usual needs no word in the address."""
    usual = {"tap": "away", "since": None, "role": verbs.USUAL_ROLES[0]}
    chosen = {key: value for key, value in rest.items() if value != usual.get(key) and value != ""}
    return redirect(url_for("door.lesson", name=name, number=number, **chosen), 303)


@door.post("/guest")
def guest(name: str, number: int) -> Response:
    """Somebody joins for this lesson alone."""
    visitor, running = field("guest"), desk().running_round(name, number)

    def verb(record: ClassRecord) -> verbs.Done:
        return verbs.guest(record, number, visitor, usual_since(len(record.lesson(number).keys), running))

    desk().change(name, verb, in_sight=True)
    return redirect(url_for("door.lesson", name=name, number=number), 303)


@door.post("/groups")
def other_groups(name: str, number: int) -> Response:
    """A court is closed: an activity in another number of groups."""
    activity, groups = request.form.get("activity", ""), whole("groups", 0)
    running = desk().running_round(name, number)

    def verb(record: ClassRecord) -> verbs.Done:
        since = usual_since(len(record.lesson(number).keys), running)
        return verbs.in_other_groups(record, number, activity, groups, since)

    desk().change(name, verb, in_sight=True)
    return redirect(url_for("door.lesson", name=name, number=number), 303)
