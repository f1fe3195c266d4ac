"""The unit: its lessons, and plans with live progress."""

from __future__ import annotations

from copy import copy
from dataclasses import replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.asking import asking_for_losses
from grouper.faces.page.lessons import (
    keeping_cautions,
    lesson_from,
    new_strands,
    with_lesson,
    with_new_lesson,
    with_strands_as_named,
    without_lesson,
)
from grouper.faces.page.marks import marks_between
from grouper.faces.page.proposals import Asked
from grouper.faces.page.reading import handed
from grouper.faces.page.state import desk, field, open_class, whole
from grouper.faces.page.views.door import shown_rounds
from grouper.faces.page.views.unit import fairness_of_whole, unit_view
from grouper.files.lessons import read_lessons
from grouper.model.record import ClassRecord
from grouper.model.request import PREFERENCES
from grouper.model.unit import AIMS
from grouper.planning.admit import admit_unit
from grouper.planning.outcome import STEPS
from grouper.words import listed

unit = Blueprint("unit", __name__, url_prefix="/c/<name>/unit")

MOST_ACTIVITIES = 12
GETTING_READY = "Getting ready to search"
FIRST_GROUPS = "The first groups are there; looking for fairer ones"


@unit.get("")
def overview(name: str) -> str:
    """The unit at a glance."""
    # First how the run stands, then the proposals: one that ends in between is shown as running, and asked for again.
    run = copy(desk().proposals.run_of(name))
    shown = open_class(name, "unit")
    proposals = desk().proposals.of(name, shown.version)
    fairness = desk().worked_out(name, shown.version, shown.record, fairness_of_whole)
    return render_template(
        "unit.html",
        shown=shown,
        view=unit_view(shown.record, fairness, shown.today, proposals),
        run=run,
        efforts=tuple(STEPS),
        preferences=PREFERENCES,
    )


@unit.post("/add")
def add(name: str) -> AnyResponse:
    """One more lesson, like the last."""
    made = []

    def verb(record: ClassRecord) -> tuple[ClassRecord, str]:
        added, number = with_new_lesson(record)
        made.append(number)
        return added, f"lesson {number} added"

    desk().change(name, verb)
    return redirect(url_for("unit.lesson", name=name, number=made[-1]), 303)


@unit.get("/lesson/<int:number>")
def lesson(name: str, number: int) -> str:
    """A lesson to be changed."""
    shown = open_class(name, "unit")
    return render_template("lesson.html", shown=shown, lesson=shown.record.lesson(number), aims=AIMS)


@unit.post("/lesson/<int:number>")
def save(name: str, number: int) -> AnyResponse:
    """A lesson as it was typed; where it goes by a rating that is new, on to the class, which is to be rated."""
    typed = lesson_from(number, request.form.to_dict(), MOST_ACTIVITIES)
    made: list[str] = []

    def verb(record: ClassRecord) -> tuple[ClassRecord, str]:
        named = with_strands_as_named(record, typed)
        made[:] = new_strands(record, named)
        what = f"lesson {number} changed" + (f", rating {listed(made)} made" if made else "")
        return with_lesson(record, keeping_cautions(named, record.lesson(number))), what

    desk().change(name, asking_for_losses(verb))
    return redirect(url_for("roll.roster", name=name, strand=made[0]), 303) if made else _to_unit(name)


@unit.post("/lesson/<int:number>/remove")
def remove(name: str, number: int) -> AnyResponse:
    """A lesson is left out."""
    desk().change(name, asking_for_losses(lambda record: (without_lesson(record, number), f"lesson {number} removed")))
    return _to_unit(name)


@unit.post("/file")
def from_file(name: str) -> AnyResponse:
    """The lessons from a file, in the place of those that have not been taught."""
    given = request.files.get("file")
    if given is None or not given.filename:
        raise InputError("choose a file of lessons first")
    data, file = given.read(), given.filename

    def verb(record: ClassRecord) -> tuple[ClassRecord, str]:
        reading = read_lessons(handed(file, data), record.roster)
        return admit_unit(record, reading.unit), f"lessons read: {reading.summary}"

    desk().change(name, asking_for_losses(verb))
    return _to_unit(name)


@unit.post("/plan")
def plan(name: str) -> AnyResponse:
    """Begin to plan."""
    file = desk().file(name)
    record = file.read().record
    if not record.unit.lessons:
        raise InputError("the unit has no lessons yet; add one first")
    desk().proposals.begin(name, file, asked_for(record))
    return _to_unit(name)


def asked_for(record: ClassRecord) -> Asked:
    """What the form asks for; another seed where the same plan would come again."""
    effort = field("effort") if field("effort") in STEPS else "usual"
    prefer = field("prefer") if field("prefer") in PREFERENCES else record.settings.prefer
    seed = whole("seed", record.seed)
    return Asked(effort, replace(record.settings, prefer=prefer), seed)


@unit.get("/plan/progress")
def progress(name: str) -> dict[str, float | str | bool]:
    """How far the plan has come; asked for again and again, so that no window keeps the server waiting on it."""
    run = desk().proposals.run_of(name)
    if run is None or run.state != "running":
        return {"share": 1.0, "text": "over", "over": True}
    share, cost = run.share, run.cost
    said = f"{round(100 * share)} % of the search" if share else GETTING_READY if cost is None else FIRST_GROUPS
    return {"share": round(share, 3), "text": said, "over": False}


@unit.post("/plan/stop")
def stop(name: str) -> AnyResponse:
    """Stop with the best so far."""
    desk().proposals.stop(name)
    return _to_unit(name)


@unit.get("/plan/<int:number>")
def proposal(name: str, number: int) -> str:
    """The groups of a lesson as they would be, those marked that would be others than they are."""
    shown = open_class(name, "unit")
    chosen = desk().proposals.chosen(name, number)
    lessons = [each.number for each in shown.record.unit.lessons if each.number not in shown.record.taught]
    lesson = request.args.get("lesson", shown.today, type=int)
    lesson = lesson if lesson in lessons else next(iter(lessons), None)
    marks = marks_between(shown.record, chosen.record)
    rounds = shown_rounds(chosen.record, lesson, marks) if lesson is not None else ()
    return render_template(
        "proposal.html", shown=shown, number=number, lessons=lessons, lesson=lesson, rounds=rounds, marks=marks
    )


@unit.post("/plan/take")
def take(name: str) -> AnyResponse:
    """A proposal becomes the plan."""
    desk().proposals.take(name, whole("number", 0), desk().file(name))
    return _to_unit(name)


def _to_unit(name: str) -> AnyResponse:
    return redirect(url_for("unit.overview", name=name), 303)
