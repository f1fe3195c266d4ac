"""What lies aside where a lesson ended early: the rounds that were not held, and all that was noted of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from grouper.model.noted import Absence, Note
from grouper.model.plan import Round
from grouper.model.play import Event
from grouper.model.task_result import ChosenTask, TaskResult
from grouper.model.unit import Activity


@dataclass(frozen=True)
class Unheld:
    """What a lesson that ended early had left.

    Parameters
    ----------
    lesson, after
        Its number, and the last of its rounds that was held, counted from 1.
    planned
        All its activities as they were planned.
    rounds, results, chosen_tasks, events
        Of the rounds that were not held.
    notes, absences
        On rounds that were not held; of the absences also, as they were said, those that went on into them.
    rest_in
        The lesson that what was left has been put into, None for none.
    """

    lesson: int
    after: int
    planned: tuple[Activity, ...]
    rounds: tuple[Round, ...] = ()
    results: tuple[TaskResult, ...] = ()
    chosen_tasks: tuple[ChosenTask, ...] = ()
    events: tuple[Event, ...] = ()
    notes: tuple[Note, ...] = ()
    absences: tuple[Absence, ...] = ()
    rest_in: int | None = None

    @property
    def rest(self) -> tuple[Activity, ...]:
        """The activities with the rounds of each that were not held, in order."""
        return tuple(replace(activity, rounds=left) for activity, _, left in split(self.planned, self.after) if left)

    @property
    def last(self) -> int:
        """The last of the rounds that were planned."""
        return sum(activity.rounds for activity in self.planned)


def split(activities: Iterable[Activity], after: int) -> Iterable[tuple[Activity, int, int]]:
    """Each activity with how many of its rounds are among the first ``after``, and how many are not."""
    for activity in activities:
        held = min(activity.rounds, after)
        after -= held
        yield activity, held, activity.rounds - held
