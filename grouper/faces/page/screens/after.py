"""After a lesson: it ran as planned, or what differed, put right in a table of labels."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import how_it_went
from grouper.faces.page.desk import Verb
from grouper.faces.page.how_it_went import WORDS, WentRound, went_view
from grouper.faces.page.state import check_as_shown, desk, field, lesson_mark, open_class, round_marks, unit_mark, whole
from grouper.faces.page.verbs import Done, known
from grouper.faces.views.attendance_list import absences_in_words
from grouper.faces.views.names import full_name, label_order, name_order
from grouper.faces.views.students import lesson_names, rounds_of
from grouper.faces.wording.changes import rest_in_words, rounds_not_held, unheld_of
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import reopened, taught
from grouper.planning.admit import with_rest
from grouper.planning.noting import note_of
from grouper.planning.ran import corrected
from grouper.words import counted

Labels = Mapping[tuple[int, str], str]
"""The label of a student's group by the place of the round in the lesson, from 1, and the student's id."""


def as_it_ran(record: ClassRecord, lesson: int, labels: Labels, up_to: int | None = None) -> tuple[ClassRecord, str]:
    """The lesson closed as it really ran, up to a round; or, where it is closed already, put right.

    Raises
    ------
    InputError
        It is closed, and nothing is other than it stands.
    """
    groups = groups_as_they_ran(record, lesson, labels)
    if lesson not in record.taught:
        return taught(record, lesson, groups, up_to), f"lesson {lesson} taught, with changes"
    if not groups:
        raise InputError("nothing was changed; choose the group of somebody first")
    return corrected(record, groups), f"lesson {lesson} corrected"


def groups_as_they_ran(record: ClassRecord, lesson: int, labels: Labels) -> dict[RoundKey, tuple[Group, ...]]:
    """The rounds in which somebody was elsewhere than it stands, with their groups; roles stay where people did."""
    changed: dict[RoundKey, tuple[Group, ...]] = {}
    for round_ in record.plan.of_lesson(lesson):
        place = record.place_in_lesson(round_.key)
        ran = {student: label for (at, student), label in labels.items() if at == place}
        groups = _groups(round_, ran)
        if {g.label: set(g.members) for g in groups} != {g.label: set(g.members) for g in round_.groups}:
            changed[round_.key] = groups
    return changed


def _groups(round_: Round, ran: Mapping[str, str]) -> tuple[Group, ...]:
    stood = {student: group.label for group in round_.groups for student in group.members}
    now = {**stood, **ran}
    known = {group.label: group for group in round_.groups}
    groups = []
    for label in dict.fromkeys([*known, *now.values()]):
        members = tuple(student for student, own in now.items() if own == label)
        if label and members:
            groups.append(_group(known.get(label), label, members))
    return tuple(groups)


def _group(stood: Group | None, label: str, members: tuple[str, ...]) -> Group:
    if stood is not None and set(stood.members) == set(members):
        return stood
    if stood is None or not stood.roles:
        return Group(label, members)
    roles = tuple(stood.role(student) if student in stood.members else "" for student in members)
    return replace(stood, members=members, roles=roles)


NOT_THERE = ""
"""The label of those who took no part in a round."""


@dataclass(frozen=True)
class AfterRound:
    """A round: its place in the lesson, its activity, and the labels to choose from."""

    place: int
    activity: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class AfterLine:
    """A student and the label of their group in each round, empty where they took no part."""

    id: str
    name: str
    full: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class Ended:
    """How far a lesson got: up to round ``got_to`` of ``last``.

    ``said`` is in words what was not held, empty where all was; ``rest`` what was left of it, and ``lessons`` those
    that it can be put into, none where it has been already.
    """

    last: int
    got_to: int
    said: str
    rest: str
    lessons: tuple[int, ...]


@dataclass(frozen=True)
class AfterView:
    """A lesson that is over; ``moved`` says in how many rounds groups are others than planned.

    ``note`` is on the whole lesson, ``round_notes`` are on single rounds by place. ``unit``, ``whole`` and ``marks``
    (by place of the round) say what is shown, for forms to send back.
    """

    lesson: int
    date: str
    taught: bool
    rounds: tuple[AfterRound, ...]
    lines: tuple[AfterLine, ...]
    moved: str
    out: tuple[tuple[str, str], ...]
    note: str
    round_notes: tuple[tuple[int, str], ...]
    went: tuple[WentRound, ...]
    unit: str
    whole: str
    marks: dict[int, str]
    ended: Ended


def after_view(record: ClassRecord, lesson: int) -> AfterView:
    """The lesson as it stands (InputError where it has no groups)."""
    rounds = rounds_of(record, lesson)
    names = lesson_names(record, lesson)
    shown = tuple(
        AfterRound(
            record.place_in_lesson(round_.key),
            record.unit.activity(round_.key).name,
            tuple(sorted((group.label for group in round_.groups), key=label_order)),
        )
        for round_ in rounds
    )
    lines = [
        AfterLine(
            student.id,
            names[student.id],
            full_name(student),
            tuple(group.label if (group := round_.group_of(student.id)) else NOT_THERE for round_ in rounds),
        )
        for student in record.roster.students
        if student.id in names
    ]
    moved = sum(bool(r.planned) and _who_is_where(r.planned) != _who_is_where(r.groups) for r in rounds)
    return AfterView(
        lesson,
        record.lesson(lesson).date,
        lesson in record.taught,
        shown,
        tuple(sorted(lines, key=lambda line: (name_order(line.name), line.id))),
        f"In {counted(moved, 'round')} the groups are others than planned" if moved else "All groups are as planned",
        _out(record, lesson, names),
        note_of(record, lesson),
        tuple((note.place, note.text) for note in record.notes if note.lesson == lesson and note.place),
        went_view(record, lesson),
        unit_mark(record),
        lesson_mark(record, lesson),
        round_marks(record, lesson),
        _ended(record, lesson),
    )


def _ended(record: ClassRecord, lesson: int) -> Ended:
    """As it was closed; before that as far as the students' screen got."""
    last = len(record.lesson(lesson).keys)
    unheld = unheld_of(record, lesson)
    if unheld is None:
        return Ended(last, record.begun_in(lesson) or last, "", "", ())
    still_open = (each.number for each in record.unit.lessons if each.number not in record.taught)
    said = f"{rounds_not_held(unheld)}: {rest_in_words(unheld)}"
    if unheld.rest_in is not None:
        return Ended(unheld.last, unheld.after, f"{said}, now in lesson {unheld.rest_in}.", rest_in_words(unheld), ())
    return Ended(unheld.last, unheld.after, f"{said}.", rest_in_words(unheld), tuple(still_open))


def _who_is_where(groups: tuple[Group, ...]) -> set[tuple[str, frozenset[str]]]:
    return {(group.label, frozenset(group.members)) for group in groups}


def _out(record: ClassRecord, lesson: int, names: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """Who was out and in what way, by the alphabet."""
    students = {absence.student for absence in record.absences if absence.lesson == lesson} & names.keys()
    said = [(names[s], "; ".join(a.sentence for a in absences_in_words(record, lesson, s))) for s in sorted(students)]
    return tuple(sorted(said, key=lambda one: name_order(one[0])))


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
    student = field("tapped")

    def verb(record: ClassRecord, place: int) -> Done:
        return how_it_went.coached(record, number, place, known(record, student).id)

    return _change_round(name, number, verb)


@after.post("/felt")
def felt(name: str, number: int) -> Response:
    """A word was tapped for a group; the button says which word and which group."""
    word, _, label = request.form.get("tapped", "").partition(":")
    return _change_round(
        name, number, lambda record, place: how_it_went.felt(record, number, place, label, word)
    )


@after.post("/counted", endpoint="counted")
def count(name: str, number: int) -> Response:
    """Successes of attempts were typed for the groups of a round."""
    return _counted(name, number, ("hits", "tries"))


@after.post("/points")
def points(name: str, number: int) -> Response:
    """Points that groups won and lost were typed or tapped."""
    return _counted(name, number, ("points", "lost", "out"))


def _counted(name: str, number: int, what: tuple[str, ...]) -> Response:
    labels = {key[6:]: label for key, label in request.form.items() if key.startswith("label-")}
    were, now = (
        {label: tuple(field(f"{kind}{each}-{at}") for each in what) for at, label in labels.items()}
        for kind in ("was-", "")
    )
    points = what[0] == "points"
    return _change_round(
        name, number, lambda record, place: how_it_went.counted(record, number, place, were, now, points=points)
    )


@after.post("/chose")
def chose(name: str, number: int) -> Response:
    """Which of the two ways on its card a group took was tapped."""
    label, _, setting = request.form.get("tapped", "").partition("|")
    return _change_round(
        name, number, lambda record, place: how_it_went.chose(record, number, place, label, setting)
    )


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


def _change_round(name: str, number: int, verb: Callable[[ClassRecord, int], Done]) -> Response:
    """Run a verb on the round that the form names, as the page showed it."""
    place = whole("place", 0)
    _change(name, lambda record: verb(record, place), lambda record: round_marks(record, number).get(place, ""))
    return _back(name, number)


def _back(name: str, number: int) -> Response:
    return redirect(url_for("after.over", name=name, number=number), 303)
