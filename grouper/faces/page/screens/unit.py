"""The unit at a glance: its lessons, how fair the plan is, plans with live progress, and what else could be had."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, replace

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.desk import Done, marks_between
from grouper.faces.page.kept import Asked
from grouper.faces.page.lessons import check_unit, lesson_from, with_lesson, with_new_lesson
from grouper.faces.page.screens.door_view import shown_rounds
from grouper.faces.page.state import asking_for_losses, change, desk, field, file_sent, open_class, see, whole
from grouper.faces.views.evidence import in_one_sentence
from grouper.faces.wording.fairness import summary_parts
from grouper.faces.wording.play import active_lines
from grouper.faces.wording.words import aim_in_words, minutes_in_words, number_in_words
from grouper.files.lessons import read_lessons
from grouper.model.record import ClassRecord
from grouper.model.request import PREFERENCES
from grouper.model.unit import AIMS, Activity, Lesson, Unit
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


def fairness_of_whole(record: ClassRecord) -> Fairness | None:
    """How fair the plan is; None while a round of the unit has no groups."""
    whole = record.unit.keys and all(key in record.plan.by_key for key in record.unit.keys)
    return fairness_of(record) if whole else None


def _card(record: ClassRecord, lesson: Lesson, today: bool) -> LessonCard:
    taught, ready = lesson.number in record.taught, bool(record.plan.of_lesson(lesson.number))
    minutes = sum(a.rounds * a.minutes for a in lesson.activities if a.minutes)
    active = dict(active_lines(record, lesson.number))
    lines = []
    for one in lesson.activities:
        length, rounds = minutes_in_words(one.minutes), counted(one.rounds, "round")
        said = f"{rounds} of {length}" if length else rounds
        lines.append(ActivityLine(one.name, _shape(one), said, aim_in_words(one), active.get(one.name, "")))
    return LessonCard(
        lesson.number,
        lesson.date,
        "taught" if taught else "ready" if ready else "no groups yet",
        today,
        tuple(lines),
        minutes_in_words(minutes or None),
        len({absence.student for absence in record.absences if absence.lesson == lesson.number}),
    )


def _shape(activity: Activity) -> str:
    if activity.sides:
        return f"sides of {activity.sides}"
    if activity.groups is not None:
        return counted(activity.groups, "team")
    words = {None: "same groups", 1: "alone", 2: "pairs", 3: "threes", 4: "fours", 5: "fives", 6: "sixes"}
    return words.get(activity.size, f"groups of {activity.size}")


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
    # First how the run stands, then the proposals: one that ends in between is shown as running, and asked for again.
    run = copy(desk().proposals.run_of(name))
    shown = open_class(name, "unit")
    record, today = shown.record, shown.today
    fairness = desk().worked_out(name, shown.version, record, fairness_of_whole)
    plans = [_plan(0, "the plan as it is", fairness)] if fairness else []
    for one in desk().proposals.of(name, shown.version):
        prefer = one.asked.settings.prefer.replace("-", " ") or "as usual"
        title = f"proposal {one.number}: {one.asked.effort}, {prefer}{', stopped' if one.stopped else ''}"
        # How many groups of today would be others; of all lessons where none is today.
        changes = changes_between(record.plan, one.record.plan)
        others = sum(len(change.after) for change in changes if today is None or change.key.lesson == today)
        line = _plan(one.number, title, one.fairness)
        plans.append(replace(line, changes=counted(others, "group") if others else "none"))
    students = len(record.roster.active)
    return render_template(
        "unit.html",
        shown=shown,
        cards=[_card(record, lesson, lesson.number == today) for lesson in record.unit.lessons],
        planned=bool(record.plan.rounds),
        complete=all(key in record.plan.by_key for key in record.unit.keys),
        sentence=in_one_sentence(fairness, fairness.bounds, students - 1, False) if fairness else "",
        summary=tuple(summary_parts(record, fairness)) if fairness else (),
        check=check_unit(record),
        plans=plans,
        students=students,
        run=run,
        efforts=tuple(STEPS),
        preferences=PREFERENCES,
    )


@unit.post("/add")
def add(name: str) -> AnyResponse:
    made = []

    # The number is known only once the file is locked: another window may have added a lesson too.
    def verb(record: ClassRecord) -> Done:
        added, number = with_new_lesson(record)
        made.append(number)
        return added, f"lesson {number} added"

    desk().change(name, verb)
    return see("unit.lesson", name=name, number=made[-1])


@unit.get("/lesson/<int:number>")
def lesson(name: str, number: int) -> str:
    shown = open_class(name, "unit")
    return render_template("lesson.html", shown=shown, lesson=shown.record.lesson(number), aims=AIMS)


@unit.post("/lesson/<int:number>")
def save(name: str, number: int) -> AnyResponse:
    """A lesson as it was typed; where it goes by a rating that is new, on to the class, which is to be rated."""
    typed = lesson_from(number, request.form.to_dict(), MOST_ACTIVITIES)
    made: list[str] = []

    def verb(record: ClassRecord) -> Done:
        changed, made[:] = with_lesson(record, typed)
        return changed, f"lesson {number} changed" + (f", rating {listed(made)} made" if made else "")

    desk().change(name, asking_for_losses(verb))
    return see("roll.roster", name=name, strand=made[0]) if made else see("unit.overview", name=name)


@unit.post("/lesson/<int:number>/remove")
def remove(name: str, number: int) -> AnyResponse:

    def verb(record: ClassRecord) -> Done:
        record.check_open(number)
        kept = tuple(each for each in record.unit.lessons if each.number != number)
        return admit_unit(record, Unit(kept)), f"lesson {number} removed"

    return change("unit.overview", name, asking_for_losses(verb))


@unit.post("/file")
def from_file(name: str) -> AnyResponse:
    """The lessons from a file, in the place of those that have not been taught."""
    given = file_sent("a file of lessons")

    def verb(record: ClassRecord) -> Done:
        reading = read_lessons(given, record.roster)
        return admit_unit(record, reading.unit), f"lessons read: {reading.summary}"

    return change("unit.overview", name, asking_for_losses(verb))


@unit.post("/plan")
def plan(name: str) -> AnyResponse:
    file = desk().file(name)
    record = file.read().record
    if not record.unit.lessons:
        raise InputError("the unit has no lessons yet; add one first")
    effort = field("effort") if field("effort") in STEPS else "usual"
    prefer = field("prefer") if field("prefer") in PREFERENCES else record.settings.prefer
    # With the class's own seed the same plan would come again: for another one the form sends another.
    seed = whole("seed", record.seed)
    desk().proposals.begin(name, file, Asked(effort, replace(record.settings, prefer=prefer), seed))
    return see("unit.overview", name=name)


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
    desk().proposals.stop(name)
    return see("unit.overview", name=name)


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
    desk().proposals.take(name, whole("number", 0), desk().file(name))
    return see("unit.overview", name=name)
