"""A new class: a roster is given, looked at, mended, and taken in; or an old one gets its roster anew."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.drafts import Draft
from grouper.faces.page.reading import MEANINGS, PASTED, Look, look_at, pasted
from grouper.faces.page.state import desk, field
from grouper.faces.views.names import folded
from grouper.faces.wording.numbers import counted
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.planning.admit import admit_roster
from grouper.planning.attend import with_the_rest
from grouper.planning.repair import repair

setup = Blueprint("setup", __name__, url_prefix="/new")


@setup.get("")
def new() -> str:
    """Drop a file or paste a list."""
    into = request.args.get("into", "")
    first = desk().first.removesuffix(".class")
    title = first if first and desk().first not in desk().names else ""
    return render_template("new.html", into=into if into in desk().names else "", title=title)


@setup.post("")
def give() -> Response:
    """A file or a list was given."""
    given = request.files.get("file")
    into = field("into")
    text = request.form.get("list", "")
    if given is not None and given.filename:
        draft = Draft(given.filename, given.read(), field("title"), into=into)
    else:
        draft = Draft(PASTED, pasted(text), field("title"), into=into)
    return _to_look(desk().drafts.add(draft))


@setup.get("/<number>")
def look(number: str) -> str:
    """What was understood."""
    draft = desk().drafts.get(number)
    seen = look_at(draft, _before(draft))
    return render_template(
        "look.html", draft=draft, look=seen, number=number, meanings=MEANINGS, twins=_twins(seen)
    )


def _before(draft: Draft) -> Roster | None:
    return desk().file(draft.into).read().record.roster if draft.into else None


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
    typed = ((key.removeprefix("name-"), text) for key, text in request.form.items() if key.startswith("name-"))
    names = {key: " ".join(text.split()) for key, text in typed}
    changed = columns != tuple(request.form.getlist("column_was"))
    draft = replace(
        draft,
        title=field("title") or draft.title,
        class_name=field("class_name"),
        columns=columns if changed or draft.columns else (),
        names={} if changed else names,
        numbered=draft.numbered or field("do") == "number",
    )
    desk().drafts.put(number, draft)
    if field("do") != "take":
        return _to_look(number)
    name = _taken(draft)
    desk().drafts.drop(number)
    return redirect(url_for("unit.overview", name=name), 303)


def _taken(draft: Draft) -> str:
    """The name of the class file that the roster went into."""
    seen = look_at(draft, _before(draft))
    if seen.reading is None:
        raise InputError(seen.message, seen.troubles)
    roster = seen.reading.roster
    if draft.into:
        desk().change(draft.into, lambda record: _anew(record, roster))
        return draft.into
    file = desk().new_file(draft.title)
    file.create(ClassRecord(roster), f"class made: {counted(len(roster.students), 'student')}")
    return file.path.name


def _anew(record: ClassRecord, roster: Roster) -> tuple[ClassRecord, str]:
    admission = admit_roster(record, roster)
    who = f"{len(admission.joined)} joined, {len(admission.archived)} left"
    mended = with_the_rest(record, repair(admission.record))
    return mended.record, "; ".join((f"roster read again: {who}", *mended.remarks))


def _to_look(number: str) -> Response:
    return redirect(url_for("setup.look", number=number), 303)
