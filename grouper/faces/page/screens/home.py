"""Where the page opens: the class that was named, or a choice; and what every page of a class shares."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import unquote

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import GrouperError, InputError
from grouper.faces.page.desk import ENDING
from grouper.faces.page.phones import CLASS, may_open, sees, this_device
from grouper.faces.page.state import AskFirst, desk, field, is_sure, lesson_of_the_day, open_class
from grouper.faces.views.tasks_of_class import with_invented_tasks
from grouper.faces.wording.changes import begun_in_words
from grouper.faces.wording.words import date_in_words
from grouper.files.example import TO_TRY, demo_folder, example_class, is_example
from grouper.files.store import Change, Snapshot
from grouper.model.record import ClassRecord
from grouper.model.unit import Lesson
from grouper.planning.plan import plan_unit
from grouper.planning.reshape import begun_that_change
from grouper.words import counted

home = Blueprint("home", __name__)

EXAMPLE = f"Example{ENDING}"


@home.get("/")
def start() -> Response | str:
    """The class that the page was started with, else the classes of the folder."""
    device = this_device()
    first = device.klass if device else desk().first
    if desk().has(first):
        return redirect(url_for("home.of_class", name=first), 303)
    if first:
        return redirect(url_for("setup.new"), 303)
    return classes()


@dataclass(frozen=True)
class ClassLine:
    """A class in the list: the lesson that a teacher means today, in words, and whether it is the one to try."""

    name: str
    title: str
    lesson: str
    is_today: bool
    example: bool


@home.get("/classes")
def classes() -> str:
    """The classes of the folder, each with today's lesson; what cannot be read is named below."""
    here = desk()
    lines, unreadable = [], list(here.unreadable)
    for name in here.names:
        try:
            lines.append(_class_line(name, here.file(name).read().record, date.today()))
        except GrouperError:
            unreadable.append(name)
    lines.sort(key=lambda line: not line.is_today)  # whoever has a lesson today is looked for today
    return render_template(
        "classes.html", lines=lines, unreadable=unreadable, folder=here.folder.name, can_try=not here.has(EXAMPLE)
    )


def _class_line(name: str, record: ClassRecord, today: date) -> ClassLine:
    number = lesson_of_the_day(record, today)
    lesson = record.lesson(number) if number is not None else None
    is_today = lesson is not None and lesson.date == today.isoformat()
    return ClassLine(
        name, name.removesuffix(ENDING), _lesson_in_words(record, lesson, is_today), is_today, is_example(record.roster)
    )


def _lesson_in_words(record: ClassRecord, lesson: Lesson | None, is_today: bool) -> str:
    if lesson is None:
        return f"{counted(len(record.roster.active), 'student')}, no lessons yet"
    when = "today" if is_today else date_in_words(lesson.date)
    taught = "taught" if lesson.number in record.taught else ""
    groups = "" if record.plan.of_lesson(lesson.number) else "no groups yet"
    return ", ".join(filter(None, [f"Lesson {lesson.number}", when, taught, groups]))


@home.post("/example")
def make_example() -> Response:
    """An invented class to try, planned with little work, whose first lesson is today."""
    if not desk().has(EXAMPLE):
        planned = plan_unit(example_class(date.today()), effort="quick").record
        record = with_invented_tasks(planned, demo_folder() / TO_TRY)
        desk().new_file(EXAMPLE.removesuffix(ENDING)).create(record, "an invented class, planned")
    return redirect(url_for("home.of_class", name=EXAMPLE), 303)


@home.post("/example/away")
def throw_example_away() -> Response:
    """The class to try goes; the page asks first, as there is no way back."""
    if not is_sure():
        raise AskFirst("The class to try goes for good, with all that you did in it.", (), "Throw it away")
    desk().throw_away(field("name"))
    return redirect(url_for("home.classes"), 303)


@home.get("/c/<name>/")
def of_class(name: str) -> Response:
    """Today's lesson, or the unit where there are no groups yet."""
    shown = open_class(name, "today")
    if shown.today is None or (not shown.record.plan.of_lesson(shown.today) and may_open("unit.overview")):
        if not may_open("unit.overview"):
            raise InputError("{title} has no lessons yet", "plan them at the laptop", title=shown.title)
        return redirect(url_for("unit.overview", name=name), 303)
    return redirect(url_for("door.lesson", name=name, number=shown.today), 303)


@home.get("/c/<name>/version")
def version(name: str) -> dict[str, str]:
    """The state of the class file, for other tabs to see that something was changed; at a door the round that runs."""
    found, lesson = desk().file(name).read(), request.args.get("lesson", 0, type=int)
    now = {"version": found.version}
    return {**now, "round": str(desk().begun_round(name, found.record, lesson))} if lesson else now


@home.post("/c/<name>/undo")
def undo(name: str) -> Response:
    """Take back the last change, if it still is the one that the teacher saw."""
    found = desk().file(name).read()
    _check_step(name, found, found.last, "Take it back")
    desk().undo(name, request.form.get("version", ""), _check_begun)
    return _back_to(name)


@home.post("/c/<name>/redo")
def redo(name: str) -> Response:
    """Do again what was taken back last."""
    found = desk().file(name).read()
    _check_step(name, found, found.undone, "Do it again")
    desk().redo(name, request.form.get("version", ""), _check_begun)
    return _back_to(name)


def _check_step(name: str, found: Snapshot, change: Change | None, yes: str) -> None:
    """At the door what was done at the door goes without a word; anything else might be more than is meant there."""
    as_shown = found.version == request.form.get("version", "")
    if not sees(CLASS) and not desk().is_of_door(name, change):
        raise InputError("that change was not made at the door; take it back at the laptop, which says what it was")
    if field("door") and as_shown and not is_sure() and not desk().is_of_door(name, change):
        raise AskFirst(
            "That change was not made at the door, and may be a larger one; the other pages say what it was.", (), yes
        )


def _check_begun(before: ClassRecord, after: ClassRecord) -> None:
    begun = begun_that_change(before, after)
    if begun and not is_sure():
        begun_there = begun_in_words(before, begun).capitalize()
        raise AskFirst("{begun} would change.", (), "Do it all the same", begun=begun_there)


def _back_to(name: str) -> Response:
    return redirect(field("next") if _is_ours(field("next"), name) else url_for("home.of_class", name=name), 303)


def _is_ours(address: str, name: str) -> bool:
    """Whether an address to go on to is a page of the same class."""
    ours = unquote(url_for("home.of_class", name=name))
    return unquote(address).startswith(ours) and "//" not in address and "\\" not in address
