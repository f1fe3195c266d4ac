"""The unit is over: what the next one will know, and its beginning."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page.reading import handed
from grouper.faces.page.state import desk, field, open_class
from grouper.faces.page.verbs import Done
from grouper.faces.wording.changes import ending_lines
from grouper.files.lessons import read_lessons
from grouper.model.record import ClassRecord
from grouper.model.unit import Unit
from grouper.planning.ran import next_unit
from grouper.words import counted


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
    try:
        weeks = float(text.replace(",", "."))
    except ValueError:
        weeks = -1.0
    if not 0 <= weeks <= MOST_WEEKS:
        raise InputError(f"'{text}' is no number of weeks; write 0 to {MOST_WEEKS}")
    return weeks
