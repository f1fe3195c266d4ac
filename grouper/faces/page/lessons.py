"""Lessons as they are built on the page: a new one with sensible defaults, one from what was typed; and whether the
unit can be planned with them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from grouper.errors import GrouperError, InputError
from grouper.faces.page.remedies import BUTTONS
from grouper.faces.wording.telling import telling
from grouper.files.cells import number
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.admit import admit_unit
from grouper.planning.plan import refuse_impossible
from grouper.planning.requests import refuse_contradictions


@dataclass(frozen=True)
class Check:
    """``fine``, or what cannot be met and why, in sentences."""

    fine: bool
    said: tuple[str, ...] = ()


def check_unit(record: ClassRecord) -> Check:
    """Look for groups that keep every hard wish; no plan is made."""
    try:
        refuse_contradictions(record)
        refuse_impossible(record)
    except GrouperError as error:
        tells = telling(error, BUTTONS)
        # The last of how things stand is that nothing was changed: here nothing was asked for.
        return Check(False, (tells.first, *tells.items, *tells.standing[:-1]))
    return Check(True)


USUAL = (Activity("Practice in pairs", size=2, rounds=4, minutes=4.0),)
"""A first lesson: partners change every few minutes (common practice)."""

BY_RATING = {
    "balanced": "even teams go by a rating",
    "coaching": "who coaches and who learns goes by a rating",
    "similar": "groups alike in ability go by a rating",
}
"""Aims that need a rating, and why."""

WEEK = 7

Typed = Mapping[str, str]


def with_new_lesson(record: ClassRecord) -> tuple[ClassRecord, int]:
    """The unit with one more lesson, shaped like the last and as long after it as that was after the one before."""
    lessons = record.unit.lessons
    number, activities = (lessons[-1].number + 1, lessons[-1].activities) if lessons else (1, USUAL)
    days = [day for lesson in lessons[-2:] if (day := _day(lesson.date))]
    between = days[-1] - days[0] if len(days) == 2 else timedelta(WEEK)
    when = (days[-1] + (between if between.days > 0 else timedelta(WEEK))).isoformat() if days else ""
    return admit_unit(record, Unit((*lessons, Lesson(number, activities, when)))), number


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def with_lesson(record: ClassRecord, lesson: Lesson) -> tuple[ClassRecord, tuple[str, ...]]:
    """The unit with a lesson in the place of the one with its number, and the ratings that were made for it.

    Ratings are meant as the class calls them, upper and lower case alike; cautions, which the form does not show, stay
    with activities of the same name. A lesson that has been taught is refused (InputError).
    """
    before, roster = record.lesson(lesson.number), record.roster
    called = {strand.casefold(): strand for strand in roster.strands}
    cautions = {activity.name: activity.caution for activity in before.activities}
    activities = tuple(
        replace(one, strand=called.get(one.strand.casefold(), one.strand), caution=cautions.get(one.name, ""))
        for one in lesson.activities
    )
    lesson = replace(lesson, activities=activities)
    made = tuple(dict.fromkeys(one.strand for one in activities if one.strand and one.strand not in roster.strands))
    record.check_open(lesson.number)
    record = replace(record, roster=replace(roster, strands=(*roster.strands, *made)))
    lessons = tuple(lesson if each.number == lesson.number else each for each in record.unit.lessons)
    return admit_unit(record, Unit(lessons)), made


def lesson_from(number: int, typed: Typed, rows: int) -> Lesson:
    """The lesson that was typed, row by row; a row without a name is none (InputError where a row makes no sense)."""
    activities = [_activity(typed, row) for row in range(rows) if typed.get(f"name-{row}", "").strip()]
    if not activities:
        raise InputError("the lesson needs at least one activity; give it a name")
    when = typed.get("date", "").strip()
    if when and _day(when) is None:
        raise InputError("'{when}' is no date", "write it like 2026-03-14, or leave it empty", when=when)
    return Lesson(number, tuple(activities), when)


def _activity(typed: Typed, row: int) -> Activity:
    def text(name: str) -> str:
        return " ".join(typed.get(f"{name}-{row}", "").split())

    name, aim = text("name"), text("aim") or "fresh"
    people = _number(name, "people", text("people"))
    if aim in BY_RATING and not text("strand"):
        raise InputError(
            "activity '{activity}': {why}",
            "write its name, such as throwing, under 'By rating'",
            activity=name,
            why=BY_RATING[aim],
        )
    in_teams, sides = text("kind") == "groups", text("sides")
    free = aim == "stay" or bool(sides)
    edge = _whole(name, _number(name, "edge", text("edge"))) if sides and aim == "balanced" else None
    return Activity(
        name=name,
        aim=aim,
        size=None if free or in_teams else _whole(name, people),
        groups=_whole(name, people) if in_teams and not free else None,
        rounds=_whole(name, _number(name, "rounds", text("rounds"))) or 1,
        minutes=_number(name, "minutes", text("minutes")),
        strand=text("strand") if aim in BY_RATING else "",
        min_gap=_number(name, "gap", text("min_gap")) if aim == "coaching" else None,
        max_gap=_number(name, "gap", text("max_gap")) if aim == "coaching" else None,
        sides=sides,
        edge=edge or 0,
    )


def _number(activity: str, what: str, text: str) -> float | None:
    value = number(text)
    if text and value is None:
        raise InputError(
            "activity '{activity}': '{text}' is no number for {what}", activity=activity, text=text, what=what
        )
    return value


def _whole(activity: str, value: float | None) -> int | None:
    if value is None:
        return None
    if value != int(value):
        raise InputError("activity '{activity}': {value:g} is no whole number", activity=activity, value=value)
    return int(value)
