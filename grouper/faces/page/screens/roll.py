"""The class: who is in it, ratings by tapping along a row, requests by picking two names; ratings that results suggest,
or that come of a test, looked at and accepted one by one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from urllib.parse import parse_qsl

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import state as page
from grouper.faces.page.desk import Done
from grouper.faces.page.lessons import check_unit
from grouper.faces.views import suggestions_view as views
from grouper.faces.views.names import full_names, name_order
from grouper.faces.wording.changes import accepted_in_words
from grouper.files.cells import number
from grouper.files.measures import read_measures
from grouper.learning.about import named
from grouper.learning.measured import suggestions_from
from grouper.learning.suggest import accepted, suggestions
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
    person = page.known(record, student)
    if strand not in record.roster.strands:
        raise InputError("there is no rating '{strand}'", "add it first", strand=strand)
    ratings = {name: number for name, number in person.ratings.items() if name != strand}
    if value is not None:
        ratings[strand] = value
    roster = record.roster.with_student(replace(person, ratings=ratings))
    said = "not rated" if value is None else f"{value:g}"
    return replace(record, roster=roster), f"{person.name} in {strand}: {said}"


@dataclass(frozen=True)
class RollLine:
    """A student by id and name, with the rating in the strand shown, None where not rated."""

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
        RollLine(one.id, names[one.id], one.ratings.get(chosen), one.availability, one.size_band)
        for one in record.roster.active
    ]
    lines.sort(key=lambda line: (name_order(line.name), line.id))
    values = [line.rating for line in lines if line.rating is not None]
    rows = []
    for place, wish in enumerate(record.requests):
        one, other = sorted((names[student] for student in wish.pair), key=name_order)
        rows.append(RequestRow(place, wish.kind, one, other, wish.pair, wish.first_lesson, wish.last_lesson))
    return RollView(
        tuple(lines),
        strands,
        chosen,
        all(min(STEPS) <= value <= max(STEPS) for value in values),
        len(values),
        tuple(sorted(rows, key=lambda row: (row.kind, name_order(row.one), name_order(row.other), row.place))),
        tuple(lesson.number for lesson in record.unit.lessons),
    )


roll = Blueprint("roll", __name__, url_prefix="/c/<name>")


@roll.get("/class")
def roster(name: str) -> str:
    return _roster(name, request.args.get("strand", ""))


def _roster(name: str, strand: str, refused: page.Refused = ()) -> str:
    shown = page.open_class(name, "class")
    view = roll_view(shown.record, strand)
    return render_template("roll.html", shown=shown, view=view, steps=STEPS, refused=refused)


@roll.post("/class/rate")
def rate(name: str) -> Response:
    """A step of a row was tapped; the button says which step and whose row."""
    _rate(name, request.form)
    return page.see("roll.roster", name=name, strand=page.field("strand"))


@roll.post("/class/rate-taps")
def rate_taps(name: str) -> str:
    """Several steps were tapped, one after the other."""
    # All taps of one request are in the column that the page shows.
    strand = dict(parse_qsl(next(iter(request.form.getlist("taps")), ""))).get("strand", "")
    return _roster(name, strand, page.each_tap(lambda fields: _rate(name, fields)))


def _rate(name: str, fields: Mapping[str, str]) -> None:
    value, _, student = fields.get("tapped", "").partition(":")
    strand, number = fields.get("strand", ""), _number(value)
    page.desk().change(name, lambda record: rated(record, student, strand, number))


@roll.post("/class/rate-all")
def rate_all(name: str) -> Response:
    strand = page.field("strand")
    typed = {key[6:]: _number(" ".join(text.split())) for key, text in request.form.items() if key[:6] == "rated-"}

    def verb(record: ClassRecord) -> Done:
        for student, rating in typed.items():
            record, _ = rated(record, student, strand, rating)
        return record, f"ratings in {strand}"

    return page.change("roll.roster", name, verb, strand=strand)


def _number(text: str) -> float | None:
    value = number(text)
    if text and value is None:
        raise InputError("'{text}' is no number", "write one, or leave it empty", text=text)
    return value


@roll.post("/class/strand")
def strand(name: str) -> Response:
    added = page.field("new_strand")

    def verb(record: ClassRecord) -> Done:
        strands = record.roster.strands
        if not added or added in strands:
            raise InputError("give the rating a name that no other has, such as throwing")
        return replace(record, roster=replace(record.roster, strands=(*strands, added))), f"strand {added}"

    return page.change("roll.roster", name, verb, strand=added)


@roll.post("/class/student")
def student(name: str) -> Response:
    """A name was changed, or whether somebody takes part until further notice; groups not yet taught are mended."""
    who, called, available = page.field("student"), page.field("called"), page.field("availability")

    def verb(record: ClassRecord) -> Done:
        if called:
            page.ask_about_namesake(record, called, who)
        person = page.known(record, who)
        availability = person.availability if available == AS_IT_IS else available
        if availability not in AVAILABILITIES:
            raise InputError("choose whether they take part, sit out or are away")
        changed = replace(person, name=called or person.name, availability=availability)
        after = replace(record, roster=record.roster.with_student(changed))
        return repair(after).record, f"{changed.name}: {availability or 'takes part'}"

    return page.change("roll.roster", name, verb, strand=page.field("strand"))


@roll.post("/class/join")
def joins(name: str) -> Response:
    """Somebody is new in the class, or back in it; where the name is known the page asks who it is."""
    joined = page.field("joined")

    def verb(record: ClassRecord) -> Done:
        page.ask_about_namesake(record, joined)
        left = next((student for student in namesakes(record, joined) if student.archived), None)
        if left is not None and not page.is_sure() and not page.wants_other():
            back, other = "The same student is back", "It is somebody else"
            raise page.AskFirst("{name} has been in the class before.", (), back, other, name=left.name)
        is_back = left is not None and not page.wants_other()
        lesson = _from_now(record)
        check_name(joined)
        person = left if left is not None and is_back else Student(page.new_id(record, "new"), joined)
        after = join(record, Student(person.id, person.name), lesson).record
        return after, f"{joined} is {'back' if is_back else 'new'} in the class"

    return page.change("roll.roster", name, page.asking_for_losses(verb), strand=page.field("strand"))


@roll.post("/class/leave")
def leaves(name: str) -> Response:
    """Somebody is in the class no more; the past keeps them."""
    who = page.field("student")

    def verb(record: ClassRecord) -> Done:
        lesson = _from_now(record)
        gone = page.known(record, who)
        return leave(record, who, lesson).record, f"{gone.name} has left the class"

    return page.change("roll.roster", name, page.asking_for_losses(verb), strand=page.field("strand"))


def _from_now(record: ClassRecord) -> int:
    """The lesson from which on somebody joins or leaves: today's while it is open, else the next that is."""
    today = page.lesson_of_the_day(record, date.today())
    return today if today is not None and today not in record.taught else first_open_lesson(record)


@roll.get("/requests")
def requests(name: str) -> str:
    """What was asked for, and whether it can all be met."""
    shown = page.open_class(name, "class")
    view = roll_view(shown.record, "")
    return render_template("requests.html", shown=shown, view=view, check=check_unit(shown.record))


@roll.post("/requests")
def ask(name: str) -> Response:
    """Two names were picked; groups to come that are against the request are mended, those that run or ran stay."""
    if not page.field("one") or not page.field("other"):
        raise InputError("pick two names")
    if page.field("one") == page.field("other"):
        raise InputError("pick two different names")
    first, last = page.whole("first", 0) or None, page.whole("last", 0) or None
    wish = Request(page.field("kind"), page.field("one"), page.field("other"), first, last)

    def verb(record: ClassRecord) -> Done:
        one, other = (page.known(record, student).name for student in wish.pair)
        if wish in record.requests:
            raise InputError("this request for {one} and {other} is there already", one=one, other=other)
        after = replace(record, requests=(*record.requests, wish))
        return brought_in(record, after).record, f"request: {one} and {other} {wish.kind}"

    return page.change("roll.requests", name, verb)


@roll.post("/requests/remove")
def remove(name: str) -> Response:
    """A request is taken back; the form says whose it was when the teacher saw it."""
    place, pair = page.whole("place", -1), (page.field("one"), page.field("other"))

    def verb(record: ClassRecord) -> Done:
        if not 0 <= place < len(record.requests) or record.requests[place].pair != pair:
            raise InputError("the requests were changed meanwhile; look at them again")
        kept = tuple(request for number, request in enumerate(record.requests) if number != place)
        return replace(record, requests=kept), "a request was taken back"

    return page.change("roll.requests", name, verb)


suggested = Blueprint("suggested", __name__, url_prefix="/c/<name>/suggestions")


@suggested.get("", endpoint="look")
def look_at_suggested(name: str) -> str:
    shown = page.open_class(name, "class")
    strand = request.args.get("strand", "")
    return render_template(
        "suggested.html", shown=shown, view=views.suggestions_view(shown.record, strand or None), strand=strand
    )


@suggested.post("", endpoint="accept")
def accept_suggested(name: str) -> Response:
    """Some are accepted, each named by its strand's place and the student's id."""
    strand, ticked = page.field("strand"), set(request.form.getlist("take"))
    if not ticked:
        raise InputError("tick the ratings to accept first")

    def verb(record: ClassRecord) -> Done:
        seen = named(record, strand) if strand else record
        taken = [s for s in suggestions(seen, strand or None) if f"{s.suggested:g} {s.strand} {s.student}" in ticked]
        # A result that came in between may have led to another rating than the one that was ticked.
        if len(taken) < len(ticked):
            raise InputError("the suggestions have changed meanwhile; look at them again")
        what = accepted_in_words(len(taken), list(dict.fromkeys(each.strand for each in taken)))
        return accepted(seen, taken), what

    return page.change("suggested.look", name, verb, strand=strand)


test_results = Blueprint("test_results", __name__, url_prefix="/c/<name>/test-results")


@test_results.get("", endpoint="ask")
def ask_for_table(name: str) -> str:
    return render_template("test_results.html", shown=page.open_class(name, "class"), part=None, summary="", strand="")


@test_results.post("/table", endpoint="look")
def look_at_table(name: str) -> str:
    """What ratings would come of the table; nothing is kept of it."""
    given, kind, strand = page.file_sent("a file"), page.field("kind"), page.field("strand")
    if kind not in views.KINDS or not strand:
        raise InputError("say which rating the test is about, such as fitness, and which results are better")
    shown = page.open_class(name, "class")
    reading = read_measures(given, shown.record.roster, views.columns_of(kind))
    measured = views.measured_from(reading, kind)
    part = views.strand_part(shown.record, strand, suggestions_from(shown.record, strand, measured))
    summary = ". ".join(filter(None, [reading.summary, views.rank_line(shown.record, measured)]))
    return render_template("test_results.html", shown=shown, part=part, summary=summary, strand=strand)


@test_results.post("", endpoint="accept")
def accept_tested(name: str) -> Response:
    """The ratings that are ticked are taken over, each sent back with its student."""
    strand, ticked = page.field("strand"), [text.partition(" ") for text in request.form.getlist("take")]
    if not ticked:
        raise InputError("tick the ratings to accept first")

    def verb(record: ClassRecord) -> Done:
        if strand not in record.roster.strands:
            record = replace(record, roster=replace(record.roster, strands=(*record.roster.strands, strand)))
        for value, _, student in ticked:
            rating = number(value)
            if rating is None or abs(rating) >= 1e6:
                raise InputError("'{text}' is no rating", "read the table again", text=value)
            record, _ = rated(record, student, strand, rating)
        return record, accepted_in_words(len(ticked), [strand])

    return page.change("roll.roster", name, verb, strand=strand)
