"""After a lesson: the groups as they stand, to be confirmed or put right."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.page.as_shown import lesson_mark, round_marks, unit_mark
from grouper.faces.page.views.coached import CoachedRound, coached_view
from grouper.faces.page.views.went import WentRound, went_view
from grouper.faces.views.attendance_list import absences_in_words
from grouper.faces.views.names import full_name, label_order, name_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of
from grouper.faces.wording.changes import rest_in_words, rounds_not_held, unheld_of
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.planning.noting import note_of
from grouper.words import counted

NOT_THERE = ""
"""The label of those who took no part in a round."""


@dataclass(frozen=True)
class AfterRound:
    """A round: its place in the lesson, its activity, and the labels to choose from."""

    place: int
    activity: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class AfterLine:
    """A student and the label of their group in each round, empty where they took no part."""

    id: str
    name: str
    full: str
    labels: tuple[str, ...]


@dataclass(frozen=True)
class Ended:
    """How far a lesson got: up to round ``got_to`` of ``last``.

    ``said`` is in words what was not held, empty where all was; ``rest`` what was left of it, and ``lessons`` those
    that it can be put into, none where it has been already.
    """

    last: int
    got_to: int
    said: str
    rest: str
    lessons: tuple[int, ...]


@dataclass(frozen=True)
class AfterView:
    """A lesson that is over; ``moved`` says in how many rounds groups are others than planned.

    ``note`` is on the whole lesson, ``round_notes`` are on single rounds by place. ``unit``, ``whole`` and ``marks``
    (by place of the round) say what is shown, for forms to send back.
    """

    lesson: int
    date: str
    taught: bool
    rounds: tuple[AfterRound, ...]
    lines: tuple[AfterLine, ...]
    moved: str
    out: tuple[tuple[str, str], ...]
    note: str
    round_notes: tuple[tuple[int, str], ...]
    went: tuple[WentRound, ...]
    coached: tuple[CoachedRound, ...]
    unit: str
    whole: str
    marks: dict[int, str]
    ended: Ended


def after_view(record: ClassRecord, lesson: int) -> AfterView:
    """The lesson as it stands (InputError where it has no groups)."""
    rounds = rounds_of(record, lesson)
    names = lesson_names(record, lesson)
    shown = tuple(
        AfterRound(
            record.place_in_lesson(round_.key),
            record.unit.activity(round_.key).name,
            tuple(sorted((group.label for group in round_.groups), key=label_order)),
        )
        for round_ in rounds
    )
    lines = [
        AfterLine(
            student.id,
            names[student.id],
            full_name(student),
            tuple(group.label if (group := round_.group_of(student.id)) else NOT_THERE for round_ in rounds),
        )
        for student in record.roster.students
        if student.id in names
    ]
    moved = sum(bool(r.planned) and _who_is_where(r.planned) != _who_is_where(r.groups) for r in rounds)
    return AfterView(
        lesson,
        record.lesson(lesson).date,
        lesson in record.taught,
        shown,
        tuple(sorted(lines, key=lambda line: (name_order(line.name), line.id))),
        f"In {counted(moved, 'round')} the groups are others than planned" if moved else "All groups are as planned",
        _out(record, lesson, names),
        note_of(record, lesson),
        tuple((note.place, note.text) for note in record.notes if note.lesson == lesson and note.place),
        went_view(record, lesson),
        coached_view(record, lesson),
        unit_mark(record),
        lesson_mark(record, lesson),
        round_marks(record, lesson),
        _ended(record, lesson),
    )


def _ended(record: ClassRecord, lesson: int) -> Ended:
    """As it was closed; before that as far as the students' screen got."""
    last = len(record.lesson(lesson).keys)
    unheld = unheld_of(record, lesson)
    if unheld is None:
        return Ended(last, record.begun_in(lesson) or last, "", "", ())
    still_open = (each.number for each in record.unit.lessons if each.number not in record.taught)
    said = f"{rounds_not_held(unheld)}: {rest_in_words(unheld)}"
    if unheld.rest_in is not None:
        return Ended(unheld.last, unheld.after, f"{said}, now in lesson {unheld.rest_in}.", rest_in_words(unheld), ())
    return Ended(unheld.last, unheld.after, f"{said}.", rest_in_words(unheld), tuple(still_open))


def _who_is_where(groups: tuple[Group, ...]) -> set[tuple[str, frozenset[str]]]:
    return {(group.label, frozenset(group.members)) for group in groups}


def _out(record: ClassRecord, lesson: int, names: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """Who was out and in what way, by the alphabet."""
    students = {absence.student for absence in record.absences if absence.lesson == lesson} & names.keys()
    said = [(names[s], "; ".join(a.sentence for a in absences_in_words(record, lesson, s))) for s in sorted(students)]
    return tuple(sorted(said, key=lambda one: name_order(one[0])))
