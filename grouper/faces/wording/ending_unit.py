"""What ends with a unit, in words, before it is ended."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.model.record import ClassRecord
from grouper.planning.next_unit import lasts
from grouper.planning.requests import request_in_words
from grouper.words import counted


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
    for request in record.requests:
        if not lasts(request):
            yield f"the request for {request_in_words(record.roster, request)}"
