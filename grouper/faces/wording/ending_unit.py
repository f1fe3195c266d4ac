"""What ends with a unit, in words, before it is ended."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.faces.wording.numbers import counted
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.planning.next_unit import lasts


def ending_lines(record: ClassRecord) -> Iterator[str]:
    """A line for each kind of thing that the next unit will not have."""
    untaught = [lesson for lesson in record.unit.lessons if lesson.number not in record.taught]
    if untaught:
        yield f"{counted(len(untaught), 'lesson')} not taught: the groups planned for them are forgotten"
    for count, noun, nouns in (
        (len(record.absences), "absence", ""),
        (len(record.notes), "note", ""),
        (len(record.results), "word on a task", "words on tasks"),
        (len(record.chosen_steps), "chosen step", ""),
        (sum(len(day.scored) for day in record.games), "score", ""),
    ):
        if count:
            yield counted(count, noun, nouns)
    yield from (_request(record, request) for request in record.requests if not lasts(request))


def _request(record: ClassRecord, request: Request) -> str:
    one, other = (record.roster.name(student) for student in request.pair)
    return f"the request for {one} and {other}, {request.kind}, {_lessons(request)}"


def _lessons(request: Request) -> str:
    first, last = request.first_lesson or 1, request.last_lesson
    if last is None:
        return f"from lesson {first} on"
    return f"lesson {first}" if first == last else f"lessons {first} to {last}"
