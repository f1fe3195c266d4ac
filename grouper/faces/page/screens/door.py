"""The door: who is here, and the groups that follow, before a lesson and in the middle of it.

The tablet is in everybody's sight, so that groups are shown as students may see them: no rating, no request.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask import Response as AnyResponse
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import verbs
from grouper.faces.page.guard import ENTER, POLICY
from grouper.faces.page.kept import Clock
from grouper.faces.page.screens.by_hand import ahead
from grouper.faces.page.screens.door_view import door_view, usual_since
from grouper.faces.page.state import (
    Refused,
    ask_about_namesake,
    check_as_shown,
    desk,
    each_tap,
    field,
    lesson_mark,
    open_class,
    state,
    whole,
)
from grouper.faces.sheets.pages import sheets_of, where_sheet
from grouper.faces.sheets.play_sheets import event_pages
from grouper.faces.views.play_view import play_view
from grouper.model.record import ClassRecord
from grouper.planning.adjust import taught

door = Blueprint("door", __name__, url_prefix="/c/<name>/lesson/<int:number>")

HAND = "hand"
"""The window that a clock that was turned in the hand counts as: all phones are one, as they are in step."""

STATES = ("away", "late", "aside")
PART = "apart"

EVENT_SHEETS = {
    "games-wall": "games for the wall",
    "games-courts": "court by court",
    "stations-wall": "stations for the wall",
    "stations-cards": "cards for the stations",
}

SHEET_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


@door.get("")
def lesson(name: str, number: int) -> str:
    """The door of a lesson."""
    return _door(name, number)


def _door(name: str, number: int, refused: Refused = ()) -> str:
    """The door as it stands; ``refused`` are taps that were not taken, by their place in line, and why."""
    shown = open_class(name, "today", number)
    view = door_view(shown.record, number, shown.marks, shown.running)
    chosen, first = request.args.get("tap", "away"), request.args.get("first", "")
    by_hand, alone = bool(request.args.get("hand")) and not view.taught, request.args.get("counts") == "alone"
    return render_template(
        "door.html",
        shown=shown,
        view=view,
        roles=verbs.USUAL_ROLES,
        tap=chosen if chosen in (*STATES, PART) else "away",
        since=min(request.args.get("since", view.since, type=int), max(len(view.rounds), 1)),
        role=request.args.get("role", verbs.USUAL_ROLES[0]),
        first_of_two=first,
        refused=refused,
        by_hand=by_hand,
        to_print={kind: words for kind, (words, _) in _to_print(shown.record, number).items()} if view.rounds else {},
        alone=alone,
        ahead=ahead(shown.record, number, first if by_hand else "", alone),
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
    """A name was tapped: out, back, or one of two who are to be kept apart.

    What a tap means is for one tap, and the round that was chosen for those that follow too.
    """
    chosen = Tap.of(request.form)
    if chosen.kind == PART and not chosen.first:
        return _to_door(name, number, {"tap": PART, "since": chosen.since, "first": chosen.student})
    _change(name, number, chosen)
    return _to_door(name, number, {"since": chosen.since, "role": chosen.role})


@door.post("/taps")
def taps(name: str, number: int) -> str:
    """Several taps at once, as a quick thumb makes them; each is a change of its own."""
    return _door(name, number, each_tap(lambda fields: _change(name, number, Tap.of(fields))))


@dataclass(frozen=True)
class Tap:
    """A tap on a name.

    ``back`` says that somebody comes back; ``since`` is the round that the teacher chose, None where none was chosen:
    then what counts is the screen at the moment of the tap, as the page may have been opened rounds ago, and what has
    been played is not to change.
    """

    student: str
    back: bool
    kind: str
    since: int | None
    role: str
    first: str

    @staticmethod
    def of(fields: Mapping[str, str]) -> Tap:
        """The tap that the fields of a form tell of."""
        tidy = {name: " ".join(text.split()) for name, text in fields.items()}
        since, usual = tidy.get("since", ""), tidy.get("usual_since", "")
        chosen = int(since) if since.isdecimal() and len(since) < 10 and since != usual else None
        student, back = tidy.get("student", ""), tidy.get("back", "")
        role, first = tidy.get("role", ""), tidy.get("first", "")
        return Tap(student or back, bool(back), tidy.get("tap", ""), chosen, role, first)


def _usual(name: str, record: ClassRecord, number: int) -> int:
    return usual_since(len(record.lesson(number).keys), desk().begun_round(name, record, number))


def _change(name: str, number: int, tap: Tap) -> None:
    def verb(record: ClassRecord) -> verbs.Done:
        usual = _usual(name, record, number)
        since = tap.since or usual
        if tap.kind == PART:
            return verbs.part(record, number, tap.first, tap.student, since)
        if tap.back:
            return verbs.back(record, number, tap.student, since)
        if tap.kind not in STATES:
            raise InputError("choose first what a tap means: away, late or sits out")
        if tap.kind == "late":
            return verbs.comes_late(record, number, tap.student, usual, tap.since)
        return verbs.mark(record, number, tap.student, tap.kind, since, tap.role)

    # Who is to be apart from whom is nobody's business but the teacher's.
    desk().change(name, verb, in_sight=tap.kind != PART, at_door=True)


def _to_door(name: str, number: int, rest: dict[str, Any]) -> Response:
    """Back to the door, with what was chosen there; what is usual needs no word in the address."""
    usual = {"tap": "away", "since": None, "role": verbs.USUAL_ROLES[0]}
    chosen = {key: value for key, value in rest.items() if value != usual.get(key) and value != ""}
    return redirect(url_for("door.lesson", name=name, number=number, **chosen), 303)


def _to_print(record: ClassRecord, number: int) -> dict[str, tuple[str, Callable[[], str]]]:
    """Every sheet of a lesson by its kind: what it is called, and how it is made, only once it is asked for."""
    named = {"wall": "for the wall", "teacher": "for you alone", "tasks": "tasks on cards"}
    sheets = {kind: (named[kind], make) for kind, make in sheets_of(record, number).items()}
    sheets["where"] = ("A to Z", lambda: where_sheet(record, number))
    activities = {activity.name for activity in record.lesson(number).activities}
    events = [event for event in record.events if event.lesson == number and event.activity in activities]
    for at, event in enumerate(events, start=1):
        for kind, make in event_pages(play_view(event, record), event.is_games).items():
            sheets[f"{kind}-{at}"] = (f"{event.activity}: {EVENT_SHEETS[kind]}", make)
    return sheets


@door.get("/sheet/<kind>")
def sheet(name: str, number: int, kind: str) -> Response:
    """A sheet of the lesson to be printed from the browser, in a page of its own."""
    sheets = _to_print(desk().file(name).read().record, number)
    if kind not in sheets:
        raise InputError("lesson {number} has no such sheet", "choose one from the lesson", number=number)
    _, make = sheets[kind]
    answer = make_response(make())
    # The sheet has a policy of its own, for its one style; nothing from outside and no script is let in by either.
    answer.headers["Content-Security-Policy"] = SHEET_POLICY
    return answer


@door.post("/guest")
def guest(name: str, number: int) -> Response:
    """Somebody joins for this lesson alone."""
    visitor = field("guest")

    def verb(record: ClassRecord) -> verbs.Done:
        ask_about_namesake(record, visitor)
        return verbs.guest(record, number, visitor, _usual(name, record, number))

    desk().change(name, verb, in_sight=True, at_door=True)
    return redirect(url_for("door.lesson", name=name, number=number), 303)


STEPS = {"fewer": -1, "more": 1}


@door.post("/groups")
def other_groups(name: str, number: int) -> Response:
    """A court is closed: an activity in fewer or more groups by a tap, in so many groups, or in other sides."""
    activity, step, sides = (request.form.get(each, "") for each in ("activity", "step", "sides"))
    groups = whole("groups", 0) if request.form.get("groups") else 0

    def verb(record: ClassRecord) -> verbs.Done:
        since = _usual(name, record, number)
        if step in STEPS:
            return verbs.in_fewer_or_more(record, number, activity, STEPS[step], since)
        return verbs.in_other_groups(record, number, activity, groups, since, sides.strip())

    desk().change(name, verb, in_sight=True, at_door=True)
    return redirect(url_for("door.lesson", name=name, number=number), 303)


@door.post("/bell")
def bell(name: str, number: int) -> Response:
    """The bell rang: the lesson is over, after the last round that has begun; what differed can be put right after."""
    begun = desk().begun_round(name, desk().file(name).read().record, number)
    if not begun:
        raise InputError("no round has begun, so there is nothing to end; say how far it got under 'After the lesson'")

    def verb(record: ClassRecord) -> verbs.Done:
        check_as_shown(lesson_mark(record, number), field("shown"))
        return taught(record, number, up_to=begun), f"lesson {number} taught up to round {begun}"

    desk().change(name, verb, in_sight=True, at_door=True)
    return redirect(url_for("after.over", name=name, number=number), 303)


@door.get("/clock")
def clock(name: str, number: int) -> dict[str, Any]:
    """How the clock of the lesson stands."""
    return desk().clocks.of(name, number)


@door.post("/clock")
def turn(name: str, number: int) -> dict[str, Any]:
    """The clock was turned here, as on the screen: which round has begun by that is kept as if the screen told it."""
    now = desk().clocks.turn(name, number, Clock.told(request.form))
    if now["taken"]:
        desk().screen_is_at(name, number, whole("begun", 0), HAND)
    return now


@door.post("/not-begun")
def not_begun(name: str, number: int) -> Response:
    """The screen was only tried: no round has begun, and all may change again."""
    desk().not_begun(name, number)
    return redirect(url_for("door.lesson", name=name, number=number), 303)
