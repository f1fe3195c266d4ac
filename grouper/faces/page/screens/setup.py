"""A class begins with its roster, which is looked at and corrected first; gets it again; goes on to its next unit."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.desk import Done
from grouper.faces.page.reading import MEANINGS, PASTED, Draft, called_by, handed, look_at, pasted, scale_for
from grouper.faces.page.remedies import said_here
from grouper.faces.page.state import change, desk, field, open_class, see
from grouper.faces.views.names import folded, full_name, given_name
from grouper.faces.wording.changes import ending_lines
from grouper.files.cells import number, scale_text
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
    into = request.args.get("into", "")
    first = desk().first.removesuffix(".class")
    title = first if first and not desk().has(desk().first) else ""
    return render_template("new.html", into=into if desk().has(into) else "", title=title)


@setup.post("")
def give() -> Response:
    given, into, text = request.files.get("file"), field("into"), request.form.get("list", "")
    chosen = given is not None and bool(given.filename)
    # Of a list and a file together nobody knows which is meant.
    if chosen == bool(text.strip()):
        raise InputError("give a list of names or a file, one of the two" if chosen else "paste names or choose a file")
    if given is not None and given.filename:
        draft = Draft(given.filename, given.read(), field("title"), into=into)
    else:
        given_list = pasted(text)
        draft = Draft(PASTED, given_list.data, field("title"), into=into, left_out=given_list.left_out)
    return see("setup.look", number=desk().drafts.add(draft))


@setup.get("/<number>")
def look(number: str) -> str:
    """What was understood."""
    draft = desk().drafts.get(number)
    record = _before(draft)
    seen = look_at(draft, record)
    students = seen.reading.roster.students if seen.reading else ()
    names = [folded(student.name) for student in students]
    twins = frozenset(s.id for s, name in zip(students, names, strict=True) if names.count(name) > 1)
    doubts: tuple[Doubt, ...] = ()
    changes: list[str] = []
    if record is not None and seen.reading is not None:
        doubts = recognised(record.roster, seen.reading.roster, draft.told).doubts
        if not doubts:
            admission = admit_roster(record, _new_list(seen.reading), draft.told)
            groups = (("join", admission.joined), ("no longer on the roster, archived", admission.archived))
            changes = [f"{said}: {listed(who)}" for said, who in groups if who]
            changes += [*said_here(admission.said), *said_here(became_of_requests(record, admission.record))]
    return render_template(
        "look.html",
        draft=draft,
        look=seen,
        number=number,
        meanings=MEANINGS,
        twins=twins,
        given={student.id: given_name(full_name(student)) for student in students},
        doubts=doubts,
        changes=changes,
        scale=draft.scale if draft.scale is not None else scale_text(record.settings.scale if record else ()),
    )


def _before(draft: Draft) -> ClassRecord | None:
    return desk().file(draft.into).read().record if draft.into else None


def _new_list(reading: RosterReading) -> NewList:
    return NewList(reading.roster, reading.ids_made, reading.columns)


@setup.post("/<number>")
def mend(number: str) -> Response:
    """Mend in place, or take it in."""
    draft = before = desk().drafts.get(number)
    columns = tuple(request.form.getlist("column"))
    changed = columns != tuple(request.form.getlist("column_was"))
    draft = replace(
        draft,
        title=field("title") or draft.title,
        class_name=field("class_name"),
        scale=field("scale"),
        columns=columns if changed or draft.columns else (),
        names={},
        gone={},
        numbered=draft.numbered or field("do") == "number",
    )
    if not changed:  # what was said of rows holds as long as their columns mean what they meant
        typed = {key[5:]: " ".join(text.split()) for key, text in request.form.items() if key.startswith("name-")}
        out, back = field("out"), field("back")
        # The row that was tapped is taken out too, or the one that was put back is not any more.
        gone = {key: name for key, name in before.gone.items() if key != back}
        chosen = {key.removeprefix("who-"): was for key, was in request.form.items() if key.startswith("who-") and was}
        same = {now: was.removeprefix(KNOWN) for now, was in chosen.items() if was.startswith(KNOWN)}
        draft = replace(
            draft,
            names={key: called_by(name, field(f"called-{key}")) for key, name in typed.items()},
            gone={**gone, out: field(f"name-{out}") or out} if out else gone,
            told=Told(same, frozenset(now for now in chosen if now not in same)),
        )
    desk().drafts.put(number, draft)
    if field("do") != "take":
        return see("setup.look", number=number)
    name = _taken(draft)
    desk().drafts.drop(number)
    return see("unit.overview", name=name)


def _taken(draft: Draft) -> str:
    """The name of the class file that the roster went into."""
    before = _before(draft)
    seen = look_at(draft, before)
    if seen.reading is None:
        raise InputError(seen.message, troubles=seen.troubles)
    reading, scale = seen.reading, scale_for(draft, before)

    def scaled(record: ClassRecord) -> ClassRecord:
        return replace(record, settings=replace(record.settings, scale=scale))

    def read_again(record: ClassRecord) -> Done:
        record = scaled(record)
        if recognised(record.roster, reading.roster, draft.told).doubts:
            raise InputError("it is not sure who is who; choose it first for each name that is asked about")
        admission = admit_roster(record, _new_list(reading), draft.told)
        who = f"{len(admission.joined)} joined, {len(admission.archived)} left"
        mended = brought_in(record, admission.record)
        return mended.record, "; ".join((f"roster read again: {who}", *said_here(mended.remarks)))

    if draft.into:
        desk().change(draft.into, read_again)
        return draft.into
    file, students = desk().new_file(draft.title), reading.roster.students
    file.create(scaled(ClassRecord(reading.roster)), f"class made: {counted(len(students), 'student')}")
    return file.path.name


following = Blueprint("following", __name__, url_prefix="/c/<name>/next-unit")

MOST_WEEKS = 1000


@following.get("")
def offer(name: str) -> str:
    shown = open_class(name, "unit")
    record = shown.record
    rounds = sum(round_.key.lesson in record.taught for round_ in record.plan.rounds)
    return render_template(
        "next_unit.html",
        shown=shown,
        remembered=f"{counted(rounds, 'round')} of {counted(len(record.taught), 'lesson')}",
        ending=tuple(ending_lines(record)),
        most_weeks=MOST_WEEKS,
    )


@following.post("")
def begin(name: str) -> Response:
    """The next unit begins: with lessons from a file, or with none yet."""
    given = request.files.get("file")
    file, data = (given.filename or "", given.read()) if given is not None else ("", b"")
    text = field("half_life")
    weeks = number(text)
    if weeks is None or not 0 <= weeks <= MOST_WEEKS:
        raise InputError("'{text}' is no number of weeks", "write 0 to {most}", text=text, most=MOST_WEEKS)

    def verb(record: ClassRecord) -> Done:
        unit = Unit(())
        if file:
            unit = read_lessons(handed(file, data), record.roster).unit
        begun = next_unit(record, unit).record
        return replace(begun, settings=replace(begun.settings, half_life=weeks)), "next unit"

    return change("unit.overview", name, verb)
