"""What the next unit will know of those before, and what ends with the one at hand."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.names import display_names
from grouper.faces.wording.numbers import counted
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.planning.next_unit import lasts


@dataclass(frozen=True)
class NextUnitView:
    """The end of a unit, before it is made: sentences on what stays and what goes.

    ``ready`` says whether any lesson has been taught, so that there is a unit to end.
    """

    ready: bool
    weeks: float
    remembered: str
    untaught: str
    ending: tuple[str, ...]


def next_unit_view(record: ClassRecord) -> NextUnitView:
    """The view; it changes nothing."""
    taught = [round_ for round_ in record.plan.rounds if round_.key.lesson in record.taught]
    untaught = [lesson for lesson in record.unit.lessons if lesson.number not in record.taught]
    return NextUnitView(
        bool(record.taught),
        record.settings.half_life,
        f"{counted(len(taught), 'round')} of {counted(len(record.taught), 'lesson')}",
        counted(len(untaught), "lesson") if untaught else "",
        tuple(_ending(record)),
    )


def _ending(record: ClassRecord) -> list[str]:
    names = display_names(record.roster.students)
    counts = (
        (len(record.absences), "absence"),
        (len(record.notes), "note"),
        (len(record.results), "word on a task"),
        (sum(len(day.scored) for day in record.games), "score"),
    )
    requests = [_request(names, request) for request in record.requests if not lasts(request)]
    return [_counted(count, noun) for count, noun in counts if count] + requests


def _counted(count: int, noun: str) -> str:
    return counted(count, noun, "words on tasks" if noun == "word on a task" else "")


def _request(names: dict[str, str], request: Request) -> str:
    one, other = (names[student] for student in request.pair)
    return f"the request for {one} and {other}, which was for certain lessons"
