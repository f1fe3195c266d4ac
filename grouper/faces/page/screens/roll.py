"""The class: who is in it, ratings by tapping along a row, requests by picking two names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from urllib.parse import parse_qsl

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.lessons import check_unit
from grouper.faces.page.state import (
    AskFirst,
    Refused,
    ask_about_namesake,
    asking_for_losses,
    desk,
    each_tap,
    field,
    is_sure,
    lesson_of_the_day,
    open_class,
    wants_other,
    whole,
)
from grouper.faces.page.verbs import Done, known, new_id
from grouper.faces.views.names import full_names, name_order
from grouper.files.cells import number
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import AVAILABILITIES, Student
from grouper.planning.admit import brought_in
from grouper.planning.attend import check_name, first_open_lesson, join, leave, namesakes
from grouper.planning.repair import repair

AS_IT_IS = "as it is"
"""What a form says that leaves it alone whether a student takes part."""

STEPS = (1, 2, 3, 4, 5)
"""The steps that can be tapped."""


def rated(record: ClassRecord, student: str, strand: str, value: float | None) -> Done:
    """A student's rating in a strand, or none."""
    person = known(record, student)
    if strand not in record.roster.strands:
        raise InputError("there is no rating '{strand}'", "add it first", strand=strand)
    ratings = {name: number for name, number in person.ratings.items() if name != strand}
    if value is not None:
        ratings[strand] = value
    roster = record.roster.with_student(replace(person, ratings=ratings))
    said = "not rated" if value is None else f"{value:g}"
    return replace(record, roster=roster), f"{person.name} in {strand}: {said}"


def with_strand(record: ClassRecord, strand: str) -> Done:
    """One more rated skill."""
    if not strand or strand in record.roster.strands:
        raise InputError("give the rating a name that no other has, such as throwing")
    return replace(record, roster=replace(record.roster, strands=(*record.roster.strands, strand))), f"strand {strand}"


def renamed(record: ClassRecord, student: str, name: str, availability: str) -> Done:
    """A student's name, and whether they take part until further notice; groups not yet taught are mended."""
    person = known(record, student)
    if availability == AS_IT_IS:
        availability = person.availability
    if availability not in AVAILABILITIES:
        raise InputError("choose whether they take part, sit out or are away")
    changed = replace(person, name=name or person.name, availability=availability)
    after = record.roster.with_student(changed)
    said = availability or "takes part"
    return repair(replace(record, roster=after)).record, f"{changed.name}: {said}"


def with_newcomer(record: ClassRecord, name: str, lesson: int, who: str = "") -> Done:
    """Somebody is new in the class from a lesson on; ``who`` is the id of one who has left and is back.

    Raises
    ------
    InputError
        There is no name.
    """
    check_name(name)
    known_before = record.roster.by_id.get(who)
    student = Student(who or new_id(record, "new"), known_before.name if known_before else name)
    return join(record, student, lesson).record, f"{name} is {'back' if who else 'new'} in the class"


def without_leaver(record: ClassRecord, student: str, lesson: int) -> Done:
    """Somebody is in the class no more from a lesson on; the past keeps them."""
    name = known(record, student).name
    return leave(record, student, lesson).record, f"{name} has left the class"


def asked(record: ClassRecord, request: Request) -> Done:
    """One more request; groups to come that are against it are mended, those that run or ran stay.

    Raises
    ------
    InputError
        It is there already.
    ImpossibleError
        It cannot be met together with the others.
    """
    one, other = (known(record, student).name for student in request.pair)
    if request in record.requests:
        raise InputError("this request for {one} and {other} is there already", one=one, other=other)
    after = replace(record, requests=(*record.requests, request))
    return brought_in(record, after).record, f"request: {one} and {other} {request.kind}"


def unasked(record: ClassRecord, place: int, pair: tuple[str, str]) -> Done:
    """A request is taken back; ``pair`` is whose it was when the teacher saw it."""
    if not 0 <= place < len(record.requests) or record.requests[place].pair != pair:
        raise InputError("the requests were changed meanwhile; look at them again")
    kept = tuple(request for number, request in enumerate(record.requests) if number != place)
    return replace(record, requests=kept), "a request was taken back"


@dataclass(frozen=True)
class RollLine:
    """A student with the rating in the strand shown, None where not rated."""

    id: str
    name: str
    rating: float | None
    availability: str
    size_band: str


@dataclass(frozen=True)
class RequestRow:
    """A request by names; ``place`` is its place in the record."""

    place: int
    kind: str
    one: str
    other: str
    pair: tuple[str, str]
    first: int | None
    last: int | None


@dataclass(frozen=True)
class RollView:
    """The class by the alphabet; ``tapped`` where ratings of the strand lie on the steps that can be tapped."""

    lines: tuple[RollLine, ...]
    strands: tuple[str, ...]
    strand: str
    tapped: bool
    rated: int
    requests: tuple[RequestRow, ...]
    lessons: tuple[int, ...]


def roll_view(record: ClassRecord, strand: str) -> RollView:
    """The class with one strand."""
    strands = record.roster.strands
    chosen = strand if strand in strands else (strands[0] if strands else "")
    names = full_names(record.roster.students, record.roster.in_unit)
    lines = [
        RollLine(
            student.id,
            names[student.id],
            student.ratings.get(chosen),
            student.availability,
            student.size_band,
        )
        for student in record.roster.active
    ]
    lines.sort(key=lambda line: (name_order(line.name), line.id))
    values = [line.rating for line in lines if line.rating is not None]
    return RollView(
        tuple(lines),
        strands,
        chosen,
        all(min(STEPS) <= value <= max(STEPS) for value in values),
        len(values),
        _requests(record, names),
        tuple(lesson.number for lesson in record.unit.lessons),
    )


def _requests(record: ClassRecord, names: dict[str, str]) -> tuple[RequestRow, ...]:
    rows = []
    for place, wish in enumerate(record.requests):
        one, other = sorted((names[student] for student in wish.pair), key=name_order)
        rows.append(RequestRow(place, wish.kind, one, other, wish.pair, wish.first_lesson, wish.last_lesson))
    return tuple(sorted(rows, key=lambda row: (row.kind, name_order(row.one), name_order(row.other), row.place)))


roll = Blueprint("roll", __name__, url_prefix="/c/<name>")


@roll.get("/class")
def roster(name: str) -> str:
    """The students and their ratings."""
    return _roster(name, request.args.get("strand", ""))


def _roster(name: str, strand: str, refused: Refused = ()) -> str:
    shown = open_class(name, "class")
    view = roll_view(shown.record, strand)
    return render_template("roll.html", shown=shown, view=view, steps=STEPS, refused=refused)


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
    desk().change(name, lambda record: rated(record, student, strand, number))


@roll.post("/class/rate-all")
def rate_all(name: str) -> Response:
    """Ratings of a whole column were typed."""
    strand = field("strand")
    typed = {key[6:]: _number(" ".join(text.split())) for key, text in request.form.items() if key[:6] == "rated-"}

    def verb(record: ClassRecord) -> Done:
        for student, rating in typed.items():
            record, _ = rated(record, student, strand, rating)
        return record, f"ratings in {strand}"

    desk().change(name, verb)
    return _to_roster(name, strand)


def _number(text: str) -> float | None:
    value = number(text)
    if text and value is None:
        raise InputError("'{text}' is no number", "write one, or leave it empty", text=text)
    return value


@roll.post("/class/strand")
def strand(name: str) -> Response:
    """One more strand."""
    added = field("new_strand")
    desk().change(name, lambda record: with_strand(record, added))
    return _to_roster(name, added)


@roll.post("/class/student")
def student(name: str) -> Response:
    """A name or an availability was changed."""
    who, called, available = field("student"), field("called"), field("availability")

    def verb(record: ClassRecord) -> Done:
        if called:
            ask_about_namesake(record, called, who)
        return renamed(record, who, called, available)

    desk().change(name, verb)
    return _to_roster(name, field("strand"))


@roll.post("/class/join")
def joins(name: str) -> Response:
    """Somebody is new in the class, or back in it; where the name is known the page asks who it is."""
    joined = field("joined")

    def verb(record: ClassRecord) -> Done:
        back = _who_is_back(record, joined)
        return with_newcomer(record, joined, _from_now(record), back)

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
    back, other = "The same student is back", "It is somebody else"
    raise AskFirst("{name} has been in the class before.", (), back, other, name=left.name)


@roll.post("/class/leave")
def leaves(name: str) -> Response:
    """Somebody has left the class."""
    who = field("student")
    desk().change(name, asking_for_losses(lambda record: without_leaver(record, who, _from_now(record))))
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
    desk().change(name, lambda record: asked(record, wish))
    return redirect(url_for("roll.requests", name=name), 303)


@roll.post("/requests/remove")
def remove(name: str) -> Response:
    """A request is taken back."""
    place, pair = whole("place", -1), (field("one"), field("other"))
    desk().change(name, lambda record: unasked(record, place, pair))
    return redirect(url_for("roll.requests", name=name), 303)
