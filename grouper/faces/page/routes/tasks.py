"""Tasks that fit: what the groups would do, where the tasks come from, and how many attempts should work."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.as_shown import check_as_shown, task_mark
from grouper.faces.page.how_it_went import key_of
from grouper.faces.page.reading import handed
from grouper.faces.page.state import desk, field, open_class, whole
from grouper.faces.page.verbs import Done
from grouper.faces.page.views.tasks import tasks_view
from grouper.faces.views.task_cards import RISK, RISK_OF_PLACES, task_cards
from grouper.files.ladders import default_ladders, ladders_csv, read_ladders
from grouper.model.record import ClassRecord
from grouper.tasks.choose import as_suggested, with_step
from grouper.tasks.ladders_kept import copied, merged, with_success, without

tasks = Blueprint("tasks", __name__, url_prefix="/c/<name>/tasks")


@tasks.get("")
def look(name: str) -> str:
    """The tasks of the activities, and of the groups of a lesson."""
    shown = open_class(name, "unit")
    lesson = request.args.get("lesson", shown.today, type=int)
    return render_template("tasks.html", shown=shown, view=tasks_view(shown.record, default_ladders(), lesson))


@tasks.get("/cards")
def cards(name: str) -> str:
    """The tasks of a lesson whose groups have different ones, to print: a card a group, or a sheet a task."""
    shown = open_class(name, "unit")
    lesson = request.args.get("lesson", shown.today, type=int)
    if lesson is None:
        raise InputError("say which lesson's tasks; choose one on the page of tasks")
    at_places = request.args.get("as") == "places"
    view = task_cards(shown.record, lesson, at_places)
    risk = RISK_OF_PLACES if at_places else RISK
    return render_template("task_cards.html", shown=shown, view=view, risk=risk, at_places=at_places)


@tasks.get("/file")
def file(name: str) -> Response:
    """The tasks of the class, or those that come along, as a table to change."""
    own = open_class(name, "unit").record.ladders
    answer = Response(ladders_csv(own or default_ladders()), mimetype="text/csv")
    answer.headers["Content-Disposition"] = 'attachment; filename="tasks.csv"'
    return answer


@tasks.post("/file")
def from_file(name: str) -> AnyResponse:
    """Tasks from a table, in the place of those of the same activities."""
    given = request.files.get("file")
    if given is None or not given.filename:
        raise InputError("choose a file of tasks first")
    reading = read_ladders(handed(given.filename, given.read()))
    desk().change(name, lambda record: (merged(record, reading.ladders), f"tasks read: {reading.summary}"))
    return _back(name)


@tasks.post("/give")
def give(name: str) -> AnyResponse:
    """An activity is given a ladder, or none any more."""
    activity, like = field("activity"), field("like")

    def verb(record: ClassRecord) -> Done:
        if not like:
            return without(record, activity), f"no tasks for '{activity}'"
        return copied(record, activity, like, default_ladders()), f"tasks for '{activity}'"

    desk().change(name, verb)
    return _back(name)


@tasks.post("/step")
def step(name: str) -> AnyResponse:
    """An easier or harder task for a group, or the suggested one again; the button says which step and which group."""
    lesson, place = whole("lesson", 0), whole("place", 0)
    text, _, label = request.form.get("tapped", "").partition(":")
    step = int(text) if text.isdecimal() and len(text) < 4 else 0

    def verb(record: ClassRecord) -> Done:
        check_as_shown(task_mark(record, lesson, place), field("shown"))
        key = key_of(record, lesson, place)
        done = with_step(record, key, label, step) if step else as_suggested(record, key, label)
        return done, f"the task of group {label} in round {place} of lesson {lesson}"

    desk().change(name, verb)
    return _back(name)


@tasks.post("/success")
def success(name: str) -> AnyResponse:
    """Another share of attempts that should succeed."""
    share = whole("success", 0)
    desk().change(name, lambda record: (with_success(record, share / 100), f"{share} % of attempts should succeed"))
    return _back(name)


def _back(name: str) -> AnyResponse:
    return redirect(url_for("tasks.look", name=name, lesson=whole("lesson", 0) or None), 303)
