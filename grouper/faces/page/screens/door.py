"""The door: who is here, and the groups that follow, before a lesson and in the middle of it.

The tablet is in everybody's sight, so that groups are shown as students may see them: no rating, no request.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask import Response as AnyResponse
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import verbs
from grouper.faces.page.asking import ask_about_namesake
from grouper.faces.page.clock import Clock
from grouper.faces.page.desk import Marks
from grouper.faces.page.guard import ENTER, POLICY
from grouper.faces.page.screens.by_hand import ahead
from grouper.faces.page.state import (
    Refused,
    check_as_shown,
    desk,
    each_tap,
    field,
    lesson_mark,
    open_class,
    state,
    whole,
)
from grouper.faces.page.views.play import has_games
from grouper.faces.sheets.write import sheets_of
from grouper.faces.views.attendance_list import HELPER, AbsenceWords, absence_in_words, by_round, shown_role
from grouper.faces.views.names import full_name, name_order
from grouper.faces.views.student_lesson import RoundBlock, lesson_names, student_lesson_view
from grouper.model.noted import LATE, Absence
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.adjust import taught
from grouper.planning.fairness import broken_in
from grouper.words import counted, listed

TWO_LINES = 24
"""Letters of a name that fit on two lines of the narrowest tile."""


@dataclass(frozen=True)
class DoorLine:
    """A name to tap.

    ``state`` is empty for those who take part, at the least from some round on, else ``away``, ``late`` or ``aside``;
    ``standing`` where the roster says so until further notice; ``said`` is in words what was said of the lesson.
    """

    id: str
    name: str
    full: str
    state: str
    standing: bool
    said: str


@dataclass(frozen=True)
class DoorPerson:
    """A member of a group; ``came`` where the last change put them there."""

    id: str
    name: str
    role: str
    came: bool


@dataclass(frozen=True)
class DoorGroup:
    """A group; ``changed`` where the last change touched it."""

    label: str
    members: tuple[DoorPerson, ...]
    changed: bool


@dataclass(frozen=True)
class DoorRound:
    """A round; ``same_as`` is the place of an earlier one whose groups go on."""

    place: int
    activity: str
    minutes: float | None
    groups: tuple[DoorGroup, ...]
    same_as: int | None
    changed: int
    shape: str
    pinned: bool


@dataclass(frozen=True)
class DoorView:
    """A lesson at the door.

    ``since`` is the round from which on a tap counts, ``games`` whether it is about games, ``begun`` the last round
    that has begun and stays, 0 for none. ``broken`` says that a request does not hold and in which round; whose it is
    stands on the unit's page, as the tablet is in everybody's sight. ``mark`` says what is shown, for forms to send
    back.
    """

    lesson: int
    date: str
    taught: bool
    lines: tuple[DoorLine, ...]
    rounds: tuple[DoorRound, ...]
    since: int
    before: int | None
    after: int | None
    activities: tuple[str, ...]
    games: bool
    begun: int
    broken: str = ""
    mark: str = ""

    @property
    def long_names(self) -> bool:
        """Whether a name needs three lines; asked of all, so that no tap makes a tile of another size."""
        return max((len(line.name) for line in self.lines), default=0) > TWO_LINES

    @property
    def changed(self) -> int:
        """How many groups the last change touched."""
        return sum(round_.changed for round_ in self.rounds)

    @property
    def head_count(self) -> str:
        """How many take part, are away and aside, in words."""
        states = [line.state for line in self.lines]
        parts = [f"{states.count('')} take part"]
        words = {"away": "away", "late": "late", "aside": "sits out" if states.count("aside") == 1 else "sit out"}
        parts += [f"{states.count(state)} {word}" for state, word in words.items() if state in states]
        return ", ".join(parts)


def door_view(record: ClassRecord, lesson: int, marks: Marks, running: int = 0) -> DoorView:
    """The door of a lesson; ``running`` is the last round that has begun, 0 for none."""
    rounds = shown_rounds(record, lesson, marks)
    numbers = [other.number for other in record.unit.lessons]
    place = numbers.index(record.lesson(lesson).number)
    return DoorView(
        lesson=lesson,
        date=record.lesson(lesson).date,
        taught=lesson in record.taught,
        lines=_lines(record, lesson, running),
        rounds=rounds,
        since=usual_since(len(rounds), running),
        before=numbers[place - 1] if place else None,
        after=numbers[place + 1] if place + 1 < len(numbers) else None,
        activities=tuple(a.name for a in record.lesson(lesson).activities if a.aim != "stay"),
        games=has_games(record, lesson),
        begun=record.begun_in(lesson),
        broken=_broken(record, lesson),
        mark=lesson_mark(record, lesson),
    )


def _broken(record: ClassRecord, lesson: int) -> str:
    breaches = broken_in(record, lesson)
    if not breaches:
        return ""
    places = sorted({record.place_in_lesson(breach.key) for breach in breaches})
    requests = len({(breach.rule, frozenset(breach.students)) for breach in breaches})
    rounds = f"{'round' if len(places) == 1 else 'rounds'} {listed([str(place) for place in places])}"
    return f"{counted(requests, 'request')} {'does' if requests == 1 else 'do'} not hold in {rounds}"


def usual_since(rounds: int, running: int) -> int:
    """From which of so many rounds on a tap counts where one has begun: the next; the first where none has."""
    return max(1, min(running + 1, rounds)) if running else 1


def _lines(record: ClassRecord, lesson: int, running: int) -> tuple[DoorLine, ...]:
    names = lesson_names(record, lesson)
    students = [student for student in record.roster.students if student.belongs_in(lesson)]
    lines = [_line(record, lesson, student, names[student.id], running) for student in students]
    return tuple(sorted(lines, key=lambda line: (name_order(line.name), line.id)))


def _line(record: ClassRecord, lesson: int, student: Student, name: str, running: int) -> DoorLine:
    absences = by_round(record.absences_of(student.id, lesson))
    if not absences:
        standing = bool(student.availability)
        said = f"{student.availability} until further notice" if standing else "here"
        return DoorLine(student.id, name, full_name(student), student.availability, standing, said)
    words = [_words(absence, running) for absence in absences]
    state = words[-1].state if absences[-1].until is None or _is_expected(absences[-1], running) else ""
    said = "; ".join(absence.sentence for absence in words)
    return DoorLine(student.id, name, full_name(student), state, False, said)


def _is_expected(absence: Absence, running: int) -> bool:
    """Whether somebody is late and comes later than in the next round."""
    return absence.role == LATE and absence.until is not None and absence.until > running


def _words(absence: Absence, running: int) -> AbsenceWords:
    """With the role as students may read it: why somebody stands aside is for the teacher."""
    words = absence_in_words(absence)
    if absence.until is not None and _is_expected(absence, running):
        return replace(words, when=f"comes in round {absence.until + 1}")
    return replace(words, role=shown_role(words.role, HELPER)) if words.role else words


def shown_rounds(record: ClassRecord, lesson: int, marks: Marks) -> tuple[DoorRound, ...]:
    """The rounds of a lesson as students may see them, with marks; none where it has no groups yet."""
    blocks = student_lesson_view(record, lesson).rounds if record.plan.of_lesson(lesson) else ()
    return tuple(_round(record, lesson, block, marks.in_round(lesson, block.place)) for block in blocks)


def _round(record: ClassRecord, lesson: int, block: RoundBlock, marked: dict[str, frozenset[str]]) -> DoorRound:
    ids = {name: student for student, name in lesson_names(record, lesson).items()}
    stands = record.plan.by_key[record.lesson(lesson).keys[block.place - 1]]
    groups = tuple(
        DoorGroup(
            card.label,
            tuple(
                DoorPerson(ids[p.name], p.name, p.role, p.name in marked.get(card.label, ())) for p in card.members
            ),
            card.label in marked,
        )
        for card in block.groups
    )
    sizes = sorted({len(group.members) for group in groups})
    shape = f"{counted(len(groups), 'group')} of {listed([str(size) for size in sizes])}"
    said = (block.place, block.activity, block.minutes, groups, block.same_as)
    return DoorRound(*said, len(marked), shape, stands.pinned)


door = Blueprint("door", __name__, url_prefix="/c/<name>/lesson/<int:number>")

HAND = "hand"
"""The window that a clock that was turned in the hand counts as: all phones are one, as they are in step."""

STATES = ("away", "late", "aside")
PART = "apart"

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


@door.get("/sheet/<kind>")
def sheet(name: str, number: int, kind: str) -> Response:
    """A sheet of the lesson to be printed from the browser, in a page of its own: for the wall, the teacher, cards."""
    sheets = sheets_of(desk().file(name).read().record, number)
    if kind not in sheets:
        raise InputError(f"lesson {number} has no such sheet; choose one from the lesson")
    answer = make_response(sheets[kind]())
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


@door.post("/groups")
def other_groups(name: str, number: int) -> Response:
    """A court is closed: an activity in another number of groups."""
    activity, groups = request.form.get("activity", ""), whole("groups", 0)

    def verb(record: ClassRecord) -> verbs.Done:
        return verbs.in_other_groups(record, number, activity, groups, _usual(name, record, number))

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
