"""The class: who is in it, how they are rated, and what was asked for them."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.page.ratings import STEPS
from grouper.faces.views.names import full_names, name_order
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class RollLine:
    """A student with the rating in the strand shown, None where not rated."""

    id: str
    name: str
    rating: float | None
    availability: str
    size_band: str


@dataclass(frozen=True)
class RequestRow:
    """A request by names; ``place`` is its place in the record."""

    place: int
    kind: str
    one: str
    other: str
    pair: tuple[str, str]
    first: int | None
    last: int | None


@dataclass(frozen=True)
class RollView:
    """The class by the alphabet; ``tapped`` where ratings of the strand lie on the steps that can be tapped."""

    lines: tuple[RollLine, ...]
    strands: tuple[str, ...]
    strand: str
    tapped: bool
    rated: int
    requests: tuple[RequestRow, ...]
    lessons: tuple[int, ...]


def roll_view(record: ClassRecord, strand: str) -> RollView:
    """The class with one strand."""
    strands = record.roster.strands
    chosen = strand if strand in strands else (strands[0] if strands else "")
    names = full_names(record.roster.students, record.roster.in_unit)
    lines = [
        RollLine(
            student.id,
            names[student.id],
            student.ratings.get(chosen),
            student.availability,
            student.size_band,
        )
        for student in record.roster.active
    ]
    lines.sort(key=lambda line: (name_order(line.name), line.id))
    values = [line.rating for line in lines if line.rating is not None]
    return RollView(
        tuple(lines),
        strands,
        chosen,
        all(min(STEPS) <= value <= max(STEPS) for value in values),
        len(values),
        _requests(record, names),
        tuple(lesson.number for lesson in record.unit.lessons),
    )


def _requests(record: ClassRecord, names: dict[str, str]) -> tuple[RequestRow, ...]:
    rows = []
    for place, request in enumerate(record.requests):
        one, other = sorted((names[student] for student in request.pair), key=name_order)
        rows.append(
            RequestRow(place, request.kind, one, other, request.pair, request.first_lesson, request.last_lesson)
        )
    return tuple(sorted(rows, key=lambda row: (row.kind, name_order(row.one), name_order(row.other), row.place)))
