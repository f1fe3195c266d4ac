"""A class record as rows of the tables of a class file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import repeat
from typing import Any

from grouper.errors import InputError
from grouper.files.scale import scale_text
from grouper.files.store.after_rows import after_rows
from grouper.files.store.play_rows import play_rows
from grouper.files.store.schema import NOW, PLANNED, RAN
from grouper.model.held import whole
from grouper.model.plan import Group, Round
from grouper.model.points import Points
from grouper.model.record import ClassRecord
from grouper.model.roster import Student

Row = tuple[Any, ...]
Rows = dict[str, list[Row]]
"""Table name to its rows, each with the columns of the table in order."""


class _Keys(dict[str, int]):
    """Internal numbers of students by id; an id that is not on the roster is refused."""

    def __missing__(self, student: str) -> int:
        raise InputError(f"the record names a student '{student}' who is not on its roster")


def rows_of(record: ClassRecord, stored: Iterable[Row] = ()) -> Rows:
    """The rows that hold a record.

    Parameters
    ----------
    record
        What is to be kept.
    stored
        The rows of the table ``student`` as they stand, so that a student keeps the internal number.

    Raises
    ------
    InputError
        A value has no place in a class file: a rating that is not a number, a round given twice, or a request,
        absence or seat of somebody who is not on the roster.
    """
    ended = [(one.lesson, one.after, one.rest_in) for one in record.unheld]
    record = whole(record)
    _refuse_doubles(record)
    keys = _keys(record, stored)
    return {
        "student": [_student(place, student, keys) for place, student in _placed(record.roster.students)],
        "strand": list(_placed(record.roster.strands)),
        "rating": list(_ratings(record, keys)),
        "lesson": [(lesson.number, lesson.date) for lesson in record.unit.lessons],
        "activity": list(_activities(record)),
        "request": list(_requests(record, keys)),
        "absence": list(_absences(record, keys)),
        "round": [_round(place, round_) for place, round_ in _placed(record.plan.rounds)],
        "group": [(*where, group.label) for where, group in _groups(record)],
        "seat": list(_seats(record, keys)),
        "taught": [(lesson,) for lesson in sorted(record.taught)],
        "ended": ended,
        "setting": [
            ("seed", str(record.seed)),
            ("prefer", record.settings.prefer),
            ("closeness", record.settings.closeness),
            ("half-life", repr(float(record.settings.half_life))),
            ("success", repr(float(record.settings.success))),
            ("scale", scale_text(record.settings.scale)),
            *_points(record.points),
        ],
        **play_rows(record, keys),
        **after_rows(record, keys),
    }


def _points(points: Points) -> Iterator[Row]:
    for name, value in (("win", points.win), ("draw", points.draw), ("loss", points.loss)):
        yield name, repr(_number(value, f"points for a {name}"))
    yield "tie-breaks", ",".join(points.order)


def _placed(items: Iterable[Any]) -> Iterator[tuple[int, Any]]:
    return enumerate(items, start=1)


def _refuse_doubles(record: ClassRecord) -> None:
    if len(record.plan.by_key) < len(record.plan.rounds):
        raise InputError("the plan holds a round twice")


def _keys(record: ClassRecord, stored: Iterable[Row]) -> _Keys:
    known = {row[2]: row[0] for row in stored}
    new = max(known.values(), default=0)
    keys = _Keys()
    for student in record.roster.students:
        if student.id in known:
            keys[student.id] = known[student.id]
        else:
            new += 1
            keys[student.id] = new
    return keys


def _student(place: int, student: Student, keys: _Keys) -> Row:
    return (
        keys[student.id],
        place,
        student.id,
        student.name,
        student.size_band,
        student.availability,
        student.first_lesson,
        student.last_lesson,
    )


def _ratings(record: ClassRecord, keys: _Keys) -> Iterator[Row]:
    for student in record.roster.students:
        for strand, value in student.ratings.items():
            yield keys[student.id], strand, _number(value, f"the rating of {student.name} in '{strand}'")


def _activities(record: ClassRecord) -> Iterator[Row]:
    for lesson in record.unit.lessons:
        for place, activity in _placed(lesson.activities):
            where = f"of activity '{activity.name}' in lesson {lesson.number}"
            yield (
                lesson.number,
                place,
                activity.name,
                activity.aim,
                activity.size,
                activity.groups,
                activity.rounds,
                _number(activity.minutes, f"minutes {where}"),
                activity.strand,
                _number(activity.min_gap, f"min_gap {where}"),
                _number(activity.max_gap, f"max_gap {where}"),
                activity.caution,
            )


def _requests(record: ClassRecord, keys: _Keys) -> Iterator[Row]:
    for place, request in _placed(record.requests):
        students = keys[request.student], keys[request.other]
        yield place, request.kind, *students, request.first_lesson, request.last_lesson


def _absences(record: ClassRecord, keys: _Keys) -> Iterator[Row]:
    for place, absence in _placed(record.absences):
        student = keys[absence.student]
        yield place, absence.lesson, student, absence.state, absence.since, absence.role, absence.until


def _round(place: int, round_: Round) -> Row:
    return *round_.key, place, _pin(round_), int(_as_planned(round_))


def _pin(round_: Round) -> int:
    """0 for no pin, 1 for a pinned round, 2 for one that stands as it ran."""
    return RAN if round_.ran else int(round_.pinned)


def _as_planned(round_: Round) -> bool:
    return round_.groups == round_.planned


def _layers(round_: Round) -> tuple[tuple[str, tuple[Group, ...]], ...]:
    now = ((NOW, round_.groups),)
    return now if _as_planned(round_) else (*now, (PLANNED, round_.planned))


def _groups(record: ClassRecord) -> Iterator[tuple[Row, Group]]:
    for round_ in record.plan.rounds:
        for layer, groups in _layers(round_):
            for place, group in _placed(groups):
                yield (*round_.key, layer, place), group


def _seats(record: ClassRecord, keys: _Keys) -> Iterator[Row]:
    """One row a member; the role is NULL where the group has no roles at all, empty where the member has none."""
    for where, group in _groups(record):
        roles = group.roles or repeat(None)
        for place, (student, role) in enumerate(zip(group.members, roles, strict=False), start=1):
            yield *where, place, keys[student], role


def _number(value: float | None, what: str) -> float | None:
    """The value as SQLite keeps it; SQLite would turn NaN into NULL without a word."""
    if value is None:
        return None
    if value != value:
        raise InputError(f"{what} is not a number")
    return float(value)
