"""A class begins with its roster, which is looked at and corrected first; gets it again; goes on to its next unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.reading import MEANINGS, PASTED, Draft, Look, called_by, handed, look_at, pasted, scale_for
from grouper.faces.page.remedies import said_here
from grouper.faces.page.state import desk, field, open_class
from grouper.faces.page.verbs import Done
from grouper.faces.views.names import folded, full_name, given_name
from grouper.faces.wording.changes import ending_lines
from grouper.files.cells import Scale, number, scale_text
from grouper.files.lessons import read_lessons
from grouper.files.roster import RosterReading
from grouper.model.record import ClassRecord
from grouper.model.unit import Unit
from grouper.planning.admit import NewList, admit_roster, brought_in
from grouper.planning.ran import next_unit
from grouper.planning.recognise import Doubt, Told, recognised
from grouper.planning.requests import became_of_requests
from grouper.words import counted, listed

setup = Blueprint("setup", __name__, url_prefix="/new")

KNOWN = "known-"
"""Before the id of somebody in the class, so that no id can be the word for a new student."""


@setup.get("")
def new() -> str:
    """Drop a file or paste a list."""
    into = request.args.get("into", "")
    first = desk().first.removesuffix(".class")
    title = first if first and not desk().has(desk().first) else ""
    return render_template("new.html", into=into if desk().has(into) else "", title=title)


@setup.post("")
def give() -> Response:
    """A file or a list was given."""
    given, into, text = request.files.get("file"), field("into"), request.form.get("list", "")
    chosen = given is not None and bool(given.filename)
    if chosen == bool(text.strip()):
        raise InputError("give a list of names or a file, one of the two" if chosen else "paste names or choose a file")
    if given is not None and given.filename:
        draft = Draft(given.filename, given.read(), field("title"), into=into)
    else:
        given_list = pasted(text)
        draft = Draft(PASTED, given_list.data, field("title"), into=into, left_out=given_list.left_out)
    return _to_look(desk().drafts.add(draft))


@setup.get("/<number>")
def look(number: str) -> str:
    """What was understood."""
    draft = desk().drafts.get(number)
    record = _before(draft)
    seen = look_at(draft, record)
    doubts: tuple[Doubt, ...] = ()
    changes: list[str] = []
    if record is not None and seen.reading is not None:
        doubts = recognised(record.roster, seen.reading.roster, draft.told).doubts
        changes = [] if doubts else list(_changes(record, seen.reading, draft))
    return render_template(
        "look.html",
        draft=draft,
        look=seen,
        number=number,
        meanings=MEANINGS,
        twins=_twins(seen),
        given={s.id: given_name(full_name(s)) for s in seen.reading.roster.students} if seen.reading else {},
        doubts=doubts,
        changes=changes,
        scale=draft.scale if draft.scale is not None else scale_text(record.settings.scale if record else ()),
    )


def _before(draft: Draft) -> ClassRecord | None:
    return desk().file(draft.into).read().record if draft.into else None


def _changes(record: ClassRecord, reading: RosterReading, draft: Draft) -> Iterator[str]:
    """What would become of the class, before it is done."""
    admission = admit_roster(record, _new_list(reading), draft.told)
    if admission.joined:
        yield f"join: {listed(admission.joined)}"
    if admission.archived:
        yield f"no longer on the roster, archived: {listed(admission.archived)}"
    yield from said_here(admission.said)
    yield from said_here(became_of_requests(record, admission.record))


def _new_list(reading: RosterReading) -> NewList:
    return NewList(reading.roster, reading.ids_made, reading.columns)


def _twins(seen: Look) -> frozenset[str]:
    """Ids of students who share their name with another."""
    if seen.reading is None:
        return frozenset()
    students = seen.reading.roster.students
    names = [folded(student.name) for student in students]
    return frozenset(s.id for s, name in zip(students, names, strict=True) if names.count(name) > 1)


@setup.post("/<number>")
def mend(number: str) -> Response:
    """Mend in place, or take it in."""
    draft = desk().drafts.get(number)
    columns = tuple(request.form.getlist("column"))
    changed = columns != tuple(request.form.getlist("column_was"))
    draft = replace(
        draft,
        title=field("title") or draft.title,
        class_name=field("class_name"),
        scale=field("scale"),
        columns=columns if changed or draft.columns else (),
        names={} if changed else _names(),
        gone={} if changed else _gone(draft),
        told=_told() if not changed else draft.told,
        numbered=draft.numbered or field("do") == "number",
    )
    desk().drafts.put(number, draft)
    if field("do") != "take":
        return _to_look(number)
    name = _taken(draft)
    desk().drafts.drop(number)
    return redirect(url_for("unit.overview", name=name), 303)


def _names() -> dict[str, str]:
    """The names by the id of the row, each by what the student is called where that was typed."""
    typed = {key[5:]: " ".join(text.split()) for key, text in request.form.items() if key.startswith("name-")}
    return {key: called_by(name, called) if (called := field(f"called-{key}")) else name for key, name in typed.items()}


def _gone(draft: Draft) -> dict[str, str]:
    """The rows that are taken out, with the one that was tapped, or without the one that was put back."""
    out, back = field("out"), field("back")
    gone = {key: name for key, name in draft.gone.items() if key != back}
    return {**gone, out: field(f"name-{out}") or out} if out else gone


def _taken(draft: Draft) -> str:
    """The name of the class file that the roster went into."""
    before = _before(draft)
    seen = look_at(draft, before)
    if seen.reading is None:
        raise InputError(seen.message, troubles=seen.troubles)
    reading, scale = seen.reading, scale_for(draft, before)
    if draft.into:
        desk().change(draft.into, lambda record: _anew(_with_scale(record, scale), reading, draft.told))
        return draft.into
    roster = reading.roster
    file = desk().new_file(draft.title)
    file.create(_with_scale(ClassRecord(roster), scale), f"class made: {counted(len(roster.students), 'student')}")
    return file.path.name


def _with_scale(record: ClassRecord, scale: Scale) -> ClassRecord:
    return replace(record, settings=replace(record.settings, scale=scale))


def _told() -> Told:
    """Who is who, as it was chosen in the form: an id of the class, or new."""
    chosen = {key.removeprefix("who-"): was for key, was in request.form.items() if key.startswith("who-") and was}
    same = {now: was.removeprefix(KNOWN) for now, was in chosen.items() if was.startswith(KNOWN)}
    return Told(same, frozenset(now for now in chosen if now not in same))


def _anew(record: ClassRecord, reading: RosterReading, told: Told) -> tuple[ClassRecord, str]:
    if recognised(record.roster, reading.roster, told).doubts:
        raise InputError("it is not sure who is who; choose it first for each name that is asked about")
    admission = admit_roster(record, _new_list(reading), told)
    who = f"{len(admission.joined)} joined, {len(admission.archived)} left"
    mended = brought_in(record, admission.record)
    return mended.record, "; ".join((f"roster read again: {who}", *said_here(mended.remarks)))


def _to_look(number: str) -> Response:
    return redirect(url_for("setup.look", number=number), 303)


@dataclass(frozen=True)
class NextUnitView:
    """The end of a unit, before it is made: sentences on what stays and what goes.

    ``ready`` says whether any lesson has been taught, so that there is a unit to end.
    """

    ready: bool
    weeks: float
    remembered: str
    ending: tuple[str, ...]


def next_unit_view(record: ClassRecord) -> NextUnitView:
    """The view; it changes nothing."""
    taught = [round_ for round_ in record.plan.rounds if round_.key.lesson in record.taught]
    return NextUnitView(
        bool(record.taught),
        record.settings.half_life,
        f"{counted(len(taught), 'round')} of {counted(len(record.taught), 'lesson')}",
        tuple(ending_lines(record)),
    )


following = Blueprint("following", __name__, url_prefix="/c/<name>/next-unit")

MOST_WEEKS = 1000


@following.get("")
def offer(name: str) -> str:
    """What is remembered, and what ends with the unit."""
    shown = open_class(name, "unit")
    return render_template("next_unit.html", shown=shown, view=next_unit_view(shown.record), most_weeks=MOST_WEEKS)


@following.post("")
def begin(name: str) -> Response:
    """The next unit begins: with lessons from a file, or with none yet."""
    given = request.files.get("file")
    file, data = (given.filename or "", given.read()) if given is not None else ("", b"")
    weeks = _weeks(field("half_life"))

    def verb(record: ClassRecord) -> Done:
        unit = Unit(())
        if file:
            unit = read_lessons(handed(file, data), record.roster).unit
        begun = next_unit(record, unit).record
        return replace(begun, settings=replace(begun.settings, half_life=weeks)), "next unit"

    desk().change(name, verb)
    return redirect(url_for("unit.overview", name=name), 303)


def _weeks(text: str) -> float:
    weeks = number(text)
    if weeks is None or not 0 <= weeks <= MOST_WEEKS:
        raise InputError("'{text}' is no number of weeks", "write 0 to {most}", text=text, most=MOST_WEEKS)
    return weeks
