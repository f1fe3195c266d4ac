"""What the teacher sees of a lesson: groups with ratings, requests, turns, the class list and cautions."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.attendance_list import AttendanceLine, attendance_list
from grouper.faces.views.caution_notes import caution_notes
from grouper.faces.views.cautions import CautionNote
from grouper.faces.views.ordering import name_order
from grouper.faces.views.student_lesson import lesson_names, rounds_of
from grouper.faces.views.teacher_round import TeacherRound, teacher_round
from grouper.model.record import ClassRecord
from grouper.model.request import Request


@dataclass(frozen=True)
class RequestLine:
    """A request that holds in the lesson, by short names, with its first and last lesson where it has them."""

    kind: str
    one: str
    other: str
    first_lesson: int | None
    last_lesson: int | None


@dataclass(frozen=True)
class TeacherLessonView:
    """One lesson as the teacher sees it.

    ``strands`` are those that the lesson's activities go by, in the order of first use; the ratings of ``attendance``
    stand in the same order. ``with_size_bands`` where an activity has the contact caution.
    """

    lesson: int
    date: str
    rounds: tuple[TeacherRound, ...]
    requests: tuple[RequestLine, ...]
    attendance: tuple[AttendanceLine, ...]
    strands: tuple[str, ...]
    cautions: tuple[CautionNote, ...]

    @property
    def with_size_bands(self) -> bool:
        """Whether size bands are shown."""
        return any(note.caution.key == "contact" for note in self.cautions)

    @property
    def with_trio_turns(self) -> bool:
        """Whether turns in the trio matter: an activity is in pairs, or somebody has had a turn."""
        in_pairs = any(round_.activity.in_pairs for round_ in self.rounds)
        return in_pairs or any(line.trio_turns for line in self.attendance)

    @property
    def with_coach_turns(self) -> bool:
        """Whether turns as coach matter: somebody coaches in this lesson, or has had a turn."""
        coaching = any(round_.activity.aim == "coaching" for round_ in self.rounds)
        return coaching or any(line.coach_turns for line in self.attendance)


def teacher_lesson_view(record: ClassRecord, lesson: int) -> TeacherLessonView:
    """The teacher's view of a lesson.

    Raises
    ------
    InputError
        There is no such lesson, or it has no groups yet.
    """
    rounds = rounds_of(record, lesson)
    names = lesson_names(record, lesson)
    strands = _strands(record, lesson)
    return TeacherLessonView(
        lesson=lesson,
        date=record.lesson(lesson).date,
        rounds=tuple(teacher_round(record, names, round_) for round_ in rounds),
        requests=_requests(record, lesson, names),
        attendance=attendance_list(record, lesson, names, strands),
        strands=strands,
        cautions=caution_notes(record, lesson, names),
    )


def _strands(record: ClassRecord, lesson: int) -> tuple[str, ...]:
    used = (activity.strand for activity in record.lesson(lesson).activities if activity.strand)
    return tuple(dict.fromkeys(used))


def _requests(record: ClassRecord, lesson: int, names: dict[str, str]) -> tuple[RequestLine, ...]:
    """Requests between two who both belong to the class in this lesson, apart first, then by the alphabet."""
    lines = [
        _request_line(request, names)
        for request in record.requests
        if request.holds_in(lesson) and request.student in names and request.other in names
    ]
    return tuple(sorted(lines, key=lambda line: (line.kind, name_order(line.one), name_order(line.other))))


def _request_line(request: Request, names: dict[str, str]) -> RequestLine:
    one, other = sorted((names[student] for student in request.pair), key=name_order)
    return RequestLine(request.kind, one, other, request.first_lesson, request.last_lesson)
