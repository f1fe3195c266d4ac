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
from grouper.faces.page.state import AskFirst, desk, field, is_sure, lesson_of_the_day, open_class, see
from grouper.faces.views.tasks_of_class import with_invented_tasks
from grouper.faces.wording.changes import begun_in_words
from grouper.faces.wording.words import date_in_words
from grouper.files.example import TO_TRY, demo_folder, example_class, is_example
from grouper.model.record import ClassRecord
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
        return see("home.of_class", name=first)
    if first:
        return see("setup.new")
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
    number, title, example = lesson_of_the_day(record, today), name.removesuffix(ENDING), is_example(record.roster)
    if number is None:
        said = f"{counted(len(record.roster.active), 'student')}, no lessons yet"
        return ClassLine(name, title, said, False, example)
    lesson = record.lesson(number)
    is_today = lesson.date == today.isoformat()
    when = "today" if is_today else date_in_words(lesson.date)
    taught = "taught" if number in record.taught else ""
    groups = "" if record.plan.of_lesson(number) else "no groups yet"
    said = ", ".join(filter(None, [f"Lesson {number}", when, taught, groups]))
    return ClassLine(name, title, said, is_today, example)


@home.post("/example")
def make_example() -> Response:
    """An invented class to try, planned with little work, whose first lesson is today."""
    if not desk().has(EXAMPLE):
        # Quick: whoever wants to look around waits for it.
        planned = plan_unit(example_class(date.today()), effort="quick").record
        record = with_invented_tasks(planned, demo_folder() / TO_TRY)
        desk().new_file(EXAMPLE.removesuffix(ENDING)).create(record, "an invented class, planned")
    return see("home.of_class", name=EXAMPLE)


@home.post("/example/away")
def throw_example_away() -> Response:
    """The class to try goes; the page asks first, as there is no way back."""
    if not is_sure():
        raise AskFirst("The class to try goes for good, with all that you did in it.", (), "Throw it away")
    desk().throw_away(field("name"))
    return see("home.classes")


@home.get("/c/<name>/")
def of_class(name: str) -> Response:
    """Today's lesson, or the unit where there are no groups yet."""
    shown = open_class(name, "today")
    if shown.today is None or (not shown.record.plan.of_lesson(shown.today) and may_open("unit.overview")):
        if not may_open("unit.overview"):
            raise InputError("{title} has no lessons yet", "plan them at the laptop", title=shown.title)
        return see("unit.overview", name=name)
    return see("door.lesson", name=name, number=shown.today)


@home.get("/c/<name>/version")
def version(name: str) -> dict[str, str]:
    """The state of the class file, for other tabs to see that something was changed; at a door the round that runs."""
    found, lesson = desk().file(name).read(), request.args.get("lesson", 0, type=int)
    now = {"version": found.version}
    return {**now, "round": str(desk().begun_round(name, found.record, lesson))} if lesson else now


@home.post("/c/<name>/undo")
def undo(name: str) -> Response:
    """Take back the last change, if it still is the one that the teacher saw."""
    return _step(name, False)


@home.post("/c/<name>/redo")
def redo(name: str) -> Response:
    return _step(name, True)


def _step(name: str, again: bool) -> Response:
    """At the door what was done at the door goes without a word; anything else might be more than is meant there."""
    found = desk().file(name).read()
    shown, go_on, yes = request.form.get("version", ""), field("next"), "Do it again" if again else "Take it back"
    of_door = desk().is_of_door(name, found.undone if again else found.last)
    if not sees(CLASS) and not of_door:
        raise InputError("that change was not made at the door; take it back at the laptop, which says what it was")
    if field("door") and found.version == shown and not is_sure() and not of_door:
        raise AskFirst(
            "That change was not made at the door, and may be a larger one; the other pages say what it was.", (), yes
        )
    desk().undo(name, shown, _check_begun, again)
    # An address to go on to is one of this class alone: a form could name any other site.
    ours = unquote(url_for("home.of_class", name=name))
    is_ours = unquote(go_on).startswith(ours) and "//" not in go_on and "\\" not in go_on
    return redirect(go_on, 303) if is_ours else see("home.of_class", name=name)


def _check_begun(before: ClassRecord, after: ClassRecord) -> None:
    begun = begun_that_change(before, after)
    if begun and not is_sure():
        begun_there = begun_in_words(before, begun).capitalize()
        raise AskFirst("{begun} would change.", (), "Do it all the same", begun=begun_there)
