"""Tasks for the teacher: which activities have a ladder, and what a lesson's groups would do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grouper.faces.page.as_shown import task_mark
from grouper.faces.views.names import label_order
from grouper.faces.views.student_lesson import lesson_names
from grouper.faces.views.tasks_of_lesson import idle_lines, named_lines
from grouper.faces.wording.tasks import reason_in_words, shared_reason, step_in_words
from grouper.model.ladder import Ladder
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.tasks.suggest import GroupTask, tasks_of_round
from grouper.words import listed


@dataclass(frozen=True)
class ActivityTasks:
    """An activity of the unit and its tasks from easy to hard, empty where it has none."""

    name: str
    tasks: tuple[str, ...]


@dataclass(frozen=True)
class GroupLine:
    """A group's task with the step and the reason, for the teacher alone.

    ``easier`` and ``harder`` are the steps beside this one, None beyond the ends; ``chosen`` says that the teacher
    chose it.
    """

    label: str
    members: str
    task: str
    step: str
    reason: str
    easier: int | None
    harder: int | None
    chosen: bool


@dataclass(frozen=True)
class RoundTasks:
    """A round whose activity has tasks, with the reason where all groups share it, and the mark of who is where."""

    place: int
    activity: str
    reason: str
    mark: str
    groups: tuple[GroupLine, ...]


@dataclass(frozen=True)
class TasksView:
    """The tasks of a class.

    ``library`` are the names of ladders that an activity can be given; ``lessons`` those with groups; ``lesson`` the
    one whose groups are shown, None for none; ``named`` are sentences on tasks that name a student or belong to no
    activity.
    """

    success: int
    activities: tuple[ActivityTasks, ...]
    library: tuple[str, ...]
    lessons: tuple[int, ...]
    lesson: int | None
    rounds: tuple[RoundTasks, ...]
    named: tuple[str, ...]


def tasks_view(record: ClassRecord, library: Sequence[Ladder], lesson: int | None) -> TasksView:
    """The view; where the lesson has no groups none are shown."""
    planned = tuple(each.number for each in record.unit.lessons if record.plan.of_lesson(each.number))
    shown = lesson if lesson in planned else None
    return TasksView(
        round(100 * record.settings.success),
        tuple(_of_activity(record, name) for name in _activities(record, shown)),
        tuple(dict.fromkeys(ladder.activity for ladder in (*record.ladders, *library))),
        planned,
        shown,
        tuple(_rounds(record, shown)) if shown else (),
        (*named_lines(record), *idle_lines(record)),
    )


def _activities(record: ClassRecord, lesson: int | None) -> tuple[str, ...]:
    """The names of the unit's activities, those of the lesson that is shown first."""
    lessons = sorted(record.unit.lessons, key=lambda each: (each.number != lesson, each.number))
    return tuple(dict.fromkeys(one.name for each in lessons for one in each.activities))


def _of_activity(record: ClassRecord, name: str) -> ActivityTasks:
    ladder = next((ladder for ladder in record.ladders if ladder.fits(name)), None)
    return ActivityTasks(name, tuple(step.task for step in ladder.steps) if ladder else ())


def _rounds(record: ClassRecord, lesson: int) -> list[RoundTasks]:
    # Each name stands for itself, whatever direction its script and those beside it run in (Unicode UAX 9, isolates).
    names = {student: f"\u2068{name}\u2069" for student, name in lesson_names(record, lesson).items()}
    rounds = (_of_round(record, round_, names) for round_ in record.plan.of_lesson(lesson))
    return [round_ for round_ in rounds if round_.groups]


def _of_round(record: ClassRecord, round_: Round, names: dict[str, str]) -> RoundTasks:
    tasks = tasks_of_round(record, round_.key)
    members = {group.label: listed([names[student] for student in group.members]) for group in round_.groups}
    shared = shared_reason(tasks.values(), names)
    lines = (
        _line(tasks[label], members[label], "" if shared else reason_in_words(tasks[label], names))
        for label in sorted(tasks, key=label_order)
    )
    place, name = record.place_in_lesson(round_.key), record.unit.activity(round_.key).name
    return RoundTasks(place, name, shared, task_mark(record, round_.key.lesson, place), tuple(lines))


def _line(task: GroupTask, members: str, reason: str) -> GroupLine:
    return GroupLine(
        task.label,
        members,
        task.task,
        step_in_words(task),
        reason,
        task.step - 1 or None,
        task.step + 1 if task.step < task.steps else None,
        task.suggested is not None,
    )
