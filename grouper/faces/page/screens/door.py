"""The door: who is here, and the groups that follow, before a lesson and in the middle of it.

The tablet is in everybody's sight, so that groups are shown as students may see them: no rating, no request.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, make_response, render_template, request
from flask import Response as AnyResponse
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import state as page
from grouper.faces.page.desk import Done, Verb
from grouper.faces.page.guard import ENTER, POLICY
from grouper.faces.page.kept import Clock
from grouper.faces.page.screens.by_hand import ahead
from grouper.faces.page.screens.door_view import door_view, usual_since
from grouper.faces.sheets.pages import sheets_of, where_sheet
from grouper.faces.sheets.play_sheets import event_pages
from grouper.faces.views.attendance_list import HELPER, shown_role
from grouper.faces.views.play_view import play_view
from grouper.model.noted import Absence
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.adjust import in_fewer_or_more, in_other_groups, taught
from grouper.planning.attend import absent, aside, join, late, namesakes, present
from grouper.planning.plan import parted

door = Blueprint("door", __name__, url_prefix="/c/<name>/lesson/<int:number>")

HAND = "hand"
"""The window that a clock that was turned in the hand counts as: all phones are one, as they are in step."""

STATES = ("away", "late", "aside")
PART = "apart"
USUAL_ROLES = ("scorer", "timekeeper", "observer", "referee", "equipment", "camera")

GUEST = "guest"
"""How ids of guests begin."""

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
    return _door(name, number)


def _door(name: str, number: int, refused: page.Refused = ()) -> str:
    """The door as it stands; ``refused`` are taps that were not taken, by their place in line, and why."""
    shown = page.open_class(name, "today", number)
    view = door_view(shown.record, number, shown.touched.marks, shown.running)
    chosen, first = request.args.get("tap", "away"), request.args.get("first", "")
    by_hand, alone = bool(request.args.get("hand")) and not view.taught, request.args.get("counts") == "alone"
    return render_template(
        "door.html",
        shown=shown,
        view=view,
        roles=USUAL_ROLES,
        tap=chosen if chosen in (*STATES, PART) else "away",
        since=min(request.args.get("since", view.since, type=int), max(len(view.rounds), 1)),
        role=request.args.get("role", USUAL_ROLES[0]),
        first_of_two=first,
        refused=refused,
        by_hand=by_hand,
        to_print={kind: words for kind, (words, _) in _to_print(shown.record, number).items()} if view.rounds else {},
        alone=alone,
        # Every swap and every move is tried out for it, so only where groups are changed by hand.
        ahead=ahead(shown.record, number, first if by_hand else "", alone),
    )


@door.get("/screen")
def to_screen(name: str, number: int) -> AnyResponse:
    """The way to the students' screen, which is another site: its key is in a form, so that it stands in no address."""
    page.desk().file(name)
    site, key = page.state().screen_site, page.state().screen_key(name, number)
    answer = make_response(render_template("to_screen.html", enter=site + ENTER, key=key))
    answer.headers["Content-Security-Policy"] = POLICY.replace("form-action 'self'", f"form-action {site}")
    return answer


@door.post("/tap")
def tap(name: str, number: int) -> Response:
    """A name was tapped: out, back, or one of two who are to be kept apart.

    What a tap means is for one tap, and the round that was chosen for those that follow too.
    """
    chosen = Tap.of(request.form)
    rest = {"since": chosen.since, "role": "" if chosen.role == USUAL_ROLES[0] else chosen.role}
    if chosen.kind == PART and not chosen.first:
        rest = {"tap": PART, "since": chosen.since, "first": chosen.student}
    else:
        _tapped(name, number, chosen)
    return page.see("door.lesson", name=name, number=number, **rest)


@door.post("/taps")
def taps(name: str, number: int) -> str:
    """Several taps at once, as a quick thumb makes them; each is a change of its own."""
    return _door(name, number, page.each_tap(lambda fields: _tapped(name, number, Tap.of(fields))))


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
    return usual_since(len(record.lesson(number).keys), page.desk().begun_round(name, record, number))


def _tapped(name: str, number: int, tap: Tap) -> None:
    def verb(record: ClassRecord) -> Done:
        usual = _usual(name, record, number)
        since = tap.since or usual
        if tap.kind == PART:
            names = f"{page.known(record, tap.first).name} and {page.known(record, tap.student).name}"
            return parted(record, number, tap.first, tap.student, since), f"{names} are apart from round {since} on"
        if tap.kind not in STATES and not tap.back:
            raise InputError("choose first what a tap means: away, late or sits out")
        who, called = (tap.student,), page.known(record, tap.student).name
        if tap.back:
            # Rounds that were played before they came stay as they were.
            came = any(absence.since < since for absence in record.absences_of(tap.student, number))
            later = f" from round {since} on" if came else ""
            return present(record, number, who, since).record, f"{called} is here{later}"
        later = f", from round {since}" if since > 1 else ""
        if tap.kind == "away":
            return absent(record, number, who, since).record, f"{called} is away{later}"
        if tap.kind == "aside":
            role = tap.role or USUAL_ROLES[0]
            said = f"{called} sits out as {shown_role(role, HELPER)}{later}"
            return aside(record, number, who, role, since).record, said
        if tap.since is None:  # nobody knows when they come, so that they are away until they are here
            return late(record, number, who, usual).record, f"{called} is late"
        if tap.since == 1:
            raise InputError(
                "who is there from round 1 on is not late", "choose the round in which {name} comes", name=called
            )
        missed = usual if tap.since > usual else 1
        said = f"{called} is late, comes in round {tap.since}"
        return late(record, number, who, missed, tap.since - 1).record, said

    # Who is to be apart from whom is nobody's business but the teacher's.
    page.desk().change(name, verb, in_sight=tap.kind != PART, at_door=True)


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
    sheets = _to_print(page.desk().file(name).read().record, number)
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
    visitor = page.field("guest")

    def verb(record: ClassRecord) -> Done:
        page.ask_about_namesake(record, visitor)
        if not visitor:
            raise InputError("a guest needs a name")
        since = _usual(name, record, number)
        # A guest of before is the same guest, unless one of their lessons is still to come: being here again would
        # lose it.
        still_open = [lesson.number for lesson in record.unit.lessons if lesson.number not in record.taught]
        guests = (student for student in namesakes(record, visitor) if student.id.startswith(GUEST))
        been = (student.id for student in guests if not any(map(student.belongs_in, still_open)))
        person = Student(next(been, "") or page.new_id(record, GUEST), visitor)
        missed = (Absence(number, person.id, "away", 1, "", since - 1),) if since > 1 else ()
        is_last = all(other.number <= number for other in record.unit.lessons)
        record = replace(record, absences=(*record.absences, *missed))
        joined = join(record, person, number, None if is_last else number)
        return joined.record, f"{visitor} is a guest in lesson {number}"

    return _at_door(name, number, verb)


def _at_door(name: str, number: int, verb: Verb) -> Response:
    return page.change("door.lesson", name, verb, in_sight=True, at_door=True, number=number)


STEPS = {"fewer": (-1, "fewer, larger"), "more": (1, "more, smaller")}


@door.post("/groups")
def other_groups(name: str, number: int) -> Response:
    """A court is closed: an activity in fewer or more groups by a tap, in so many groups, or in other sides."""
    activity, step = request.form.get("activity", ""), request.form.get("step", "")
    sides = request.form.get("sides", "").strip()
    groups = page.whole("groups", 0) if request.form.get("groups") else 0

    def verb(record: ClassRecord) -> Done:
        since = _usual(name, record, number)
        if step in STEPS:
            by, said = STEPS[step]
            made, said = in_fewer_or_more(record, number, activity, by, since), f"{said} groups"
        else:
            made = in_other_groups(record, number, activity, None if sides else groups, since=since, sides=sides)
            said = sides or f"{groups} groups"
        return made.record, f"lesson {number}, {activity}: {said}"

    return _at_door(name, number, verb)


@door.post("/bell")
def bell(name: str, number: int) -> Response:
    """The bell rang: the lesson is over, after the last round that has begun; what differed can be put right after."""
    begun = page.desk().begun_round(name, page.desk().file(name).read().record, number)
    if not begun:
        raise InputError("no round has begun, so there is nothing to end; say how far it got under 'After the lesson'")

    return page.change(
        "after.over",
        name,
        lambda record: (taught(record, number, up_to=begun), f"lesson {number} taught up to round {begun}"),
        lambda record: page.lesson_mark(record, number),
        in_sight=True,
        at_door=True,
        number=number,
    )


@door.get("/clock")
def clock(name: str, number: int) -> dict[str, Any]:
    return page.desk().clocks.of(name, number)


@door.post("/clock")
def turn(name: str, number: int) -> dict[str, Any]:
    """The clock was turned here, as on the screen: which round has begun by that is kept as if the screen told it."""
    now = page.desk().clocks.turn(name, number, Clock.told(request.form))
    if now["taken"]:
        page.desk().screen_is_at(name, number, page.whole("begun", 0), HAND)
    return now


@door.post("/not-begun")
def not_begun(name: str, number: int) -> Response:
    """The screen was only tried: no round has begun, and all may change again."""
    page.desk().not_begun(name, number)
    return page.see("door.lesson", name=name, number=number)
