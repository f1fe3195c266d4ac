"""The unit at a glance: its lessons, how fair the plan is, plans with live progress, and what else could be had."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.desk import marks_between
from grouper.faces.page.kept import Asked, Proposal
from grouper.faces.page.lessons import (
    Check,
    check_unit,
    keeping_cautions,
    lesson_from,
    new_strands,
    with_lesson,
    with_new_lesson,
    with_strands_as_named,
    without_lesson,
)
from grouper.faces.page.screens.door_view import shown_rounds
from grouper.faces.page.state import asking_for_losses, desk, field, file_sent, open_class, whole
from grouper.faces.views.evidence import in_one_sentence
from grouper.faces.wording.fairness import Part, summary_parts
from grouper.faces.wording.play import active_lines
from grouper.faces.wording.words import aim_in_words, minutes_in_words, number_in_words
from grouper.files.lessons import read_lessons
from grouper.model.record import ClassRecord
from grouper.model.request import PREFERENCES
from grouper.model.unit import AIMS, Activity, Lesson
from grouper.planning.admit import admit_unit
from grouper.planning.fairness import Fairness, fairness_of
from grouper.planning.plan import STEPS
from grouper.planning.reshape import changes_between
from grouper.words import counted, from_to, listed


@dataclass(frozen=True)
class ActivityLine:
    """An activity in words: its name, in what groups, how long, and what it is after."""

    name: str
    shape: str
    length: str
    aim: str
    active: str = ""


@dataclass(frozen=True)
class LessonCard:
    """A lesson of the unit; ``state`` is ``taught``, ``ready`` or ``no groups yet``; ``out`` counts those absent."""

    number: int
    date: str
    state: str
    today: bool
    activities: tuple[ActivityLine, ...]
    minutes: str
    out: int


@dataclass(frozen=True)
class PlanLine:
    """A plan to be compared: what it was asked for with, and its figures; ``number`` 0 is the one that stands.

    ``changes`` says how many groups of today's lesson, or where there is none of the lessons to come, would be others.
    """

    number: int
    title: str
    repeats: int
    partners: str
    most: int
    spread: str
    breaches: int
    changes: str = "–"


@dataclass(frozen=True)
class UnitView:
    """The whole unit; ``sentence`` is the gist of how fair it is, ``summary`` are the parts in words."""

    cards: tuple[LessonCard, ...]
    planned: bool
    complete: bool
    summary: tuple[Part, ...]
    check: Check
    plans: tuple[PlanLine, ...]
    students: int
    sentence: str


def unit_view(
    record: ClassRecord, fairness: Fairness | None, today: int | None, proposals: tuple[Proposal, ...]
) -> UnitView:
    """The unit of a class, with how fair it is by ``fairness_of_whole``."""
    planned = bool(record.plan.rounds)
    return UnitView(
        cards=tuple(_card(record, lesson, lesson.number == today) for lesson in record.unit.lessons),
        planned=planned,
        complete=all(key in record.plan.by_key for key in record.unit.keys),
        summary=tuple(summary_parts(record, fairness)) if fairness else (),
        check=check_unit(record),
        plans=_plans(record, today, fairness, proposals),
        students=len(record.roster.active),
        sentence=in_one_sentence(fairness, fairness.bounds, len(record.roster.active) - 1, False) if fairness else "",
    )


def fairness_of_whole(record: ClassRecord) -> Fairness | None:
    """How fair the plan is; None while a round of the unit has no groups."""
    whole = record.unit.keys and all(key in record.plan.by_key for key in record.unit.keys)
    return fairness_of(record) if whole else None


def _card(record: ClassRecord, lesson: Lesson, today: bool) -> LessonCard:
    taught, ready = lesson.number in record.taught, bool(record.plan.of_lesson(lesson.number))
    minutes = sum(a.rounds * a.minutes for a in lesson.activities if a.minutes)
    active = dict(active_lines(record, lesson.number))
    return LessonCard(
        lesson.number,
        lesson.date,
        "taught" if taught else "ready" if ready else "no groups yet",
        today,
        tuple(replace(_activity(one), active=active.get(one.name, "")) for one in lesson.activities),
        minutes_in_words(minutes or None),
        len({absence.student for absence in record.absences if absence.lesson == lesson.number}),
    )


def _activity(activity: Activity) -> ActivityLine:
    length = minutes_in_words(activity.minutes)
    rounds = counted(activity.rounds, "round")
    return ActivityLine(
        activity.name, _shape(activity), f"{rounds} of {length}" if length else rounds, aim_in_words(activity)
    )


def _shape(activity: Activity) -> str:
    if activity.sides:
        return f"sides of {activity.sides}"
    if activity.groups is not None:
        return counted(activity.groups, "team")
    return {None: "same groups", 1: "alone", 2: "pairs", 3: "threes", 4: "fours", 5: "fives", 6: "sixes"}.get(
        activity.size, f"groups of {activity.size}"
    )


def _plans(
    record: ClassRecord, today: int | None, now: Fairness | None, proposals: tuple[Proposal, ...]
) -> tuple[PlanLine, ...]:
    stands = [_plan(0, "the plan as it is", now)] if now else []
    return tuple(
        stands
        + [replace(_plan(p.number, _asked(p), p.fairness), changes=_changes(record, p, today)) for p in proposals]
    )


def _changes(record: ClassRecord, proposal: Proposal, today: int | None) -> str:
    """How many groups of today would be others; of all lessons where none is today."""
    changes = changes_between(record.plan, proposal.record.plan)
    number = sum(len(change.after) for change in changes if today is None or change.key.lesson == today)
    return counted(number, "group") if number else "none"


def _asked(proposal: Proposal) -> str:
    prefer = proposal.asked.settings.prefer.replace("-", " ") or "as usual"
    return f"proposal {proposal.number}: {proposal.asked.effort}, {prefer}{', stopped' if proposal.stopped else ''}"


def _plan(number: int, title: str, fairness: Fairness) -> PlanLine:
    worst = fairness.worst_spread
    return PlanLine(
        number,
        title,
        fairness.repeats,
        from_to(fairness.fewest_partners, fairness.most_partners),
        fairness.most_meetings,
        "–" if worst is None else number_in_words(worst.spread),
        len(fairness.breaches),
    )


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
    given = file_sent("a file of lessons")

    def verb(record: ClassRecord) -> tuple[ClassRecord, str]:
        reading = read_lessons(given, record.roster)
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
    said = f"{round(100 * share)}% of the search" if share else GETTING_READY if cost is None else FIRST_GROUPS
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
