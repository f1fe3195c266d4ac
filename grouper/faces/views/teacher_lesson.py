"""What the teacher sees of a lesson: its groups with ratings, requests, turns, class list and cautions."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from grouper.faces.views.attendance_list import AttendanceLine, attendance_list, ledger_before
from grouper.faces.views.cautions import CONTACT, CautionNote, caution_notes, cautions_for
from grouper.faces.views.names import label_order, name_order
from grouper.faces.views.play_view import rule_for_students
from grouper.faces.views.students import aside_lines, lesson_names, rounds_of
from grouper.faces.wording.tasks import (
    adapted_in_words,
    lay_out_in_words,
    reason_in_words,
    short_in_words,
    step_in_words,
)
from grouper.model.ledger import Ledger
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import Activity
from grouper.rules.balanced import TOLERANCE, parts_of

if TYPE_CHECKING:
    from grouper.tasks.rounds import GroupTask


@dataclass(frozen=True)
class TeacherMember:
    """A member of a group: short name, role, rating in the activity's strand (None where not rated), size band."""

    name: str
    role: str
    rating: float | None
    size_band: str


@dataclass(frozen=True)
class MetBefore:
    """Two of one group who have been in one group before, and how often."""

    one: str
    other: str
    times: int


@dataclass(frozen=True)
class TeacherTask:
    """A group's task in words, which levers are changed, why in one line, and for whom something is kept."""

    task: str
    step: str
    reason: str
    kept: str = ""


@dataclass(frozen=True)
class TeacherGroup:
    """A group with what the activity's strand says of it.

    ``average`` counts the median of the class for those who are not rated, and is a total where sides differ on
    purpose; ``gap`` is the largest difference within the group; both are None where the activity has no strand that
    anybody is rated in.
    """

    label: str
    members: tuple[TeacherMember, ...]
    average: float | None
    gap: float | None
    met_before: tuple[MetBefore, ...]
    odd_trio: bool = False
    task: TeacherTask | None = None


@dataclass(frozen=True)
class TeacherRound:
    """One round: ``place`` over the lesson, ``number`` within its activity, both from 1.

    ``spread`` is the highest less the lowest average, or total of sides that differ on purpose; ``allowed_spread`` what
    is counted as even, for the aim ``balanced`` alone. An edge that was asked for is taken off.
    """

    place: int
    activity: Activity
    number: int
    groups: tuple[TeacherGroup, ...]
    spread: float | None
    allowed_spread: float | None
    pinned: bool
    lay_out: str = ""
    short: tuple[str, ...] = ()
    rule: str = ""
    aside: tuple[str, ...] = ()
    with_size_bands: bool = False

    @property
    def with_tasks(self) -> bool:
        """Whether the groups have tasks of their own."""
        return any(group.task for group in self.groups)

    @property
    def task_of_all(self) -> TeacherTask | None:
        """The task where all groups have the same for the same reason, so that it is said once; else None."""
        tasks = {group.task for group in self.groups}
        return next(iter(tasks)) if len(tasks) == 1 and len(self.groups) > 1 else None

    @property
    def has_meetings(self) -> bool:
        """Whether anybody works with anybody."""
        return any(len(group.members) > 1 for group in self.groups)


def teacher_round(record: ClassRecord, names: dict[str, str], round_: Round) -> TeacherRound:
    """The teacher's view of a round."""
    from grouper.tasks.rounds import round_tasks  # brings numpy: only where a lesson is shown

    activity = record.unit.activity(round_.key)
    before = ledger_before(record, round_.key)
    found = round_tasks(record, round_.key)
    tasks = {label: _task(task, names) for label, task in found.tasks.items()}
    groups = [
        replace(_group(record.roster, activity, names, group, before), task=tasks.get(group.label))
        for group in round_.groups
    ]
    groups.sort(key=lambda group: label_order(group.label))
    # How many a side has on average where totals count; 1 where averages do.
    parts, mean = parts_of(activity, round_.sizes), 1.0
    if activity.playing:
        mean = sum(activity.playing) / len(activity.playing)
    allowed = float(TOLERANCE) * record.roster.span(activity.strand) * mean
    averages = [
        group.average * mean / float(part) if parts else group.average
        for group in groups
        if group.average is not None and (part := parts.get(len(group.members), 1))
    ]
    return TeacherRound(
        place=record.place_in_lesson(round_.key),
        activity=activity,
        number=round_.key.round,
        groups=tuple(groups),
        spread=max(averages) - min(averages) if averages else None,
        allowed_spread=allowed if activity.aim == "balanced" else None,
        pinned=round_.pinned,
        lay_out=lay_out_in_words(found.lay_out),
        short=tuple(short_in_words(each) for each in found.short),
        rule=rule_for_students(record, activity.name, round_.key.lesson),
        aside=tuple(aside_lines(record, round_.key, names)),
        with_size_bands=CONTACT in cautions_for(activity, record.challenge(activity.name)),
    )


def _group(roster: Roster, activity: Activity, names: dict[str, str], group: Group, before: Ledger) -> TeacherGroup:
    members = []
    for student in group.members:
        person = roster.by_id[student]
        rating = person.ratings.get(activity.strand)
        members.append(TeacherMember(names[student], group.role(student), rating, person.size_band))
    members.sort(key=lambda member: name_order(member.name))
    # The ratings that the rules go by; none where nobody is rated in the activity's strand.
    is_rated = any(activity.strand in student.ratings for student in roster.students)
    values = [roster.rating(student, activity.strand) for student in group.members] if is_rated else []
    return TeacherGroup(
        label=group.label,
        members=tuple(members),
        average=sum(values) / (1 if activity.sides else len(values)) if values else None,
        gap=max(values) - min(values) if values else None,
        met_before=() if activity.aim == "stay" else _met_before(names, group, before),
        odd_trio=activity.in_pairs and len(group.members) == 3,
    )


def _task(task: GroupTask, names: dict[str, str]) -> TeacherTask:
    step = step_in_words(task)
    first = f"{step[:1].upper()}{step[1:]}"
    return TeacherTask(task.card, first, reason_in_words(task, names), adapted_in_words(task, names))



def _met_before(names: dict[str, str], group: Group, before: Ledger) -> tuple[MetBefore, ...]:
    met = []
    for pair in group.pairs:
        one, other = sorted((names[student] for student in pair), key=name_order)
        if before.met(*pair):
            met.append(MetBefore(one, other, before.met(*pair)))
    return tuple(sorted(met, key=lambda pair: (-pair.times, name_order(pair.one), name_order(pair.other))))


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
    stand in the same order. ``with_size_bands`` where an activity has the contact caution; ``kept``
    says what is always kept for whom.
    """

    lesson: int
    date: str
    rounds: tuple[TeacherRound, ...]
    requests: tuple[RequestLine, ...]
    attendance: tuple[AttendanceLine, ...]
    strands: tuple[str, ...]
    cautions: tuple[CautionNote, ...]
    kept: tuple[str, ...] = ()

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
    from grouper.faces.views.tasks_of_class import kept_lines  # brings numpy: only where a lesson is shown

    rounds = rounds_of(record, lesson)
    names = lesson_names(record, lesson)
    used = (activity.strand for activity in record.lesson(lesson).activities if activity.strand)
    strands = tuple(dict.fromkeys(used))
    return TeacherLessonView(
        lesson=lesson,
        date=record.lesson(lesson).date,
        rounds=tuple(teacher_round(record, names, round_) for round_ in rounds),
        requests=_requests(record, lesson, names),
        attendance=attendance_list(record, lesson, names, strands),
        strands=strands,
        cautions=caution_notes(record, lesson, names),
        kept=tuple(kept_lines(record, lesson, names)),
    )


def _requests(record: ClassRecord, lesson: int, names: dict[str, str]) -> tuple[RequestLine, ...]:
    """Requests between two who both belong to the class in this lesson, apart first, then by the alphabet."""
    lines = []
    for request in record.requests:
        if request.holds_in(lesson) and request.student in names and request.other in names:
            one, other = sorted((names[student] for student in request.pair), key=name_order)
            lines.append(RequestLine(request.kind, one, other, request.first_lesson, request.last_lesson))
    return tuple(sorted(lines, key=lambda line: (line.kind, name_order(line.one), name_order(line.other))))
