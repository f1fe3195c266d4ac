"""Tasks that fit: what the groups would do, where the tasks come from, and how many attempts should work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import Blueprint, Response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.how_it_went import key_of
from grouper.faces.page.reading import handed
from grouper.faces.page.state import check_as_shown, desk, field, open_class, task_mark, whole
from grouper.faces.page.verbs import Done
from grouper.faces.views.names import label_order
from grouper.faces.views.student_lesson import lesson_names
from grouper.faces.views.task_cards import RISK, RISK_OF_PLACES, task_cards
from grouper.faces.views.tasks_of_lesson import idle_lines, named_lines
from grouper.faces.wording.tasks import reason_in_words, shared_reason, step_in_words
from grouper.files.ladders import default_ladders, ladders_csv, read_ladders
from grouper.model.ladder import Ladder
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.tasks.choose import as_suggested, with_step
from grouper.tasks.ladders_kept import copied, merged, with_success, without
from grouper.tasks.suggest import GroupTask, tasks_of_round
from grouper.words import listed


@dataclass(frozen=True)
class ActivityTasks:
    """An activity of the unit and its tasks from easy to hard, empty where it has none."""

    name: str
    tasks: tuple[str, ...]


@dataclass(frozen=True)
class GroupLine:
    """A group's task with the step and the reason, for the teacher alone.

    ``easier`` and ``harder`` are the steps beside this one, None beyond the ends; ``chosen`` says that the teacher
    chose it.
    """

    label: str
    members: str
    task: str
    step: str
    reason: str
    easier: int | None
    harder: int | None
    chosen: bool


@dataclass(frozen=True)
class RoundTasks:
    """A round whose activity has tasks, with the reason where all groups share it, and the mark of who is where."""

    place: int
    activity: str
    reason: str
    mark: str
    groups: tuple[GroupLine, ...]


@dataclass(frozen=True)
class TasksView:
    """The tasks of a class.

    ``library`` are the names of ladders that an activity can be given; ``lessons`` those with groups; ``lesson`` the
    one whose groups are shown, None for none; ``named`` are sentences on tasks that name a student or belong to no
    activity.
    """

    success: int
    activities: tuple[ActivityTasks, ...]
    library: tuple[str, ...]
    lessons: tuple[int, ...]
    lesson: int | None
    rounds: tuple[RoundTasks, ...]
    named: tuple[str, ...]


def tasks_view(record: ClassRecord, library: Sequence[Ladder], lesson: int | None) -> TasksView:
    """The view; where the lesson has no groups none are shown."""
    planned = tuple(each.number for each in record.unit.lessons if record.plan.of_lesson(each.number))
    shown = lesson if lesson in planned else None
    return TasksView(
        round(100 * record.settings.success),
        tuple(_of_activity(record, name) for name in _activities(record, shown)),
        tuple(dict.fromkeys(ladder.activity for ladder in (*record.ladders, *library))),
        planned,
        shown,
        tuple(_rounds(record, shown)) if shown else (),
        (*named_lines(record), *idle_lines(record)),
    )


def _activities(record: ClassRecord, lesson: int | None) -> tuple[str, ...]:
    """The names of the unit's activities, those of the lesson that is shown first."""
    lessons = sorted(record.unit.lessons, key=lambda each: (each.number != lesson, each.number))
    return tuple(dict.fromkeys(one.name for each in lessons for one in each.activities))


def _of_activity(record: ClassRecord, name: str) -> ActivityTasks:
    ladder = next((ladder for ladder in record.ladders if ladder.fits(name)), None)
    return ActivityTasks(name, tuple(step.task for step in ladder.steps) if ladder else ())


def _rounds(record: ClassRecord, lesson: int) -> list[RoundTasks]:
    # Each name stands for itself, whatever direction its script and those beside it run in (Unicode UAX 9, isolates).
    names = {student: f"\u2068{name}\u2069" for student, name in lesson_names(record, lesson).items()}
    rounds = (_of_round(record, round_, names) for round_ in record.plan.of_lesson(lesson))
    return [round_ for round_ in rounds if round_.groups]


def _of_round(record: ClassRecord, round_: Round, names: dict[str, str]) -> RoundTasks:
    tasks = tasks_of_round(record, round_.key)
    members = {group.label: listed([names[student] for student in group.members]) for group in round_.groups}
    shared = shared_reason(tasks.values(), names)
    lines = (
        _line(tasks[label], members[label], "" if shared else reason_in_words(tasks[label], names))
        for label in sorted(tasks, key=label_order)
    )
    place, name = record.place_in_lesson(round_.key), record.unit.activity(round_.key).name
    return RoundTasks(place, name, shared, task_mark(record, round_.key.lesson, place), tuple(lines))


def _line(task: GroupTask, members: str, reason: str) -> GroupLine:
    return GroupLine(
        task.label,
        members,
        task.task,
        step_in_words(task),
        reason,
        task.step - 1 or None,
        task.step + 1 if task.step < task.steps else None,
        task.suggested is not None,
    )


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
