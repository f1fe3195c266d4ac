"""The task that fits each group of a round, and what that rests on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grouper.model.ladder import Ladder
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.climb import Climb, Seen, at_work, climb_before
from grouper.tasks.response import success_at
from grouper.tasks.strand import strand_for


@dataclass(frozen=True)
class GroupTask:
    """A task for a group.

    Parameters
    ----------
    label
        The group's.
    step, steps
        Which step of how many, from 1 for the easiest; for the teacher alone.
    along, task
        What the step changes, and the task in words.
    expected
        The share of attempts that should succeed, as far as is known.
    strand, rating
        What the members started from: their average rating; None where nobody of the class is rated in it.
    seen
        The last results of members, the latest first; empty where there are none.
    unseen
        Members (ids) without a result.
    suggested
        The step that was suggested, where the teacher chose this one; None where this is the suggested one.
    learners, swapped
        In a coaching pair: whose task this is (ids) as the roles stand, and who else learns after a swap, with a task
        of their own. Empty elsewhere.
    """

    label: str
    step: int
    steps: int
    along: str
    task: str
    expected: float
    strand: str
    rating: float | None
    seen: tuple[Seen, ...] = ()
    unseen: tuple[str, ...] = ()
    suggested: int | None = None
    learners: tuple[str, ...] = ()
    swapped: tuple[tuple[str, str], ...] = ()

    @property
    def texts(self) -> frozenset[str]:
        """All tasks that stand on the group's card."""
        return frozenset((self.task, *(text for _, text in self.swapped)))


def ladder_for(record: ClassRecord, key: RoundKey) -> Ladder | None:
    """The ladder for the activity of a round, or None."""
    name = record.unit.activity(key).name
    return next((ladder for ladder in record.ladders if ladder.fits(name)), None)


def tasks_of_round(record: ClassRecord, key: RoundKey) -> dict[str, GroupTask]:
    """The tasks of a round by the label of the group; empty where the activity has no ladder or the round no groups.

    What the teacher chose goes before what is suggested. That rests on ratings and on the results of earlier rounds,
    never on those of the round itself, so that what stood on a card is still what is said of it afterwards.
    """
    ladder, round_ = ladder_for(record, key), record.plan.by_key.get(key)
    if ladder is None or round_ is None:
        return {}
    climb = climb_before(record, ladder, key, strand_for(record, key))
    chosen = {one.label: one.step for one in record.chosen_steps if one.key == key}
    groups = [group for group in round_.groups if group.members]
    return {group.label: _task(climb, ladder, group, chosen.get(group.label)) for group in groups}


def step_worked_at(record: ClassRecord, key: RoundKey, label: str) -> int | None:
    """The step that stood on a group's card, to be kept with its result; None where there was no task."""
    task = tasks_of_round(record, key).get(label)
    return task.step if task else None


def _task(climb: Climb, ladder: Ladder, group: Group, chosen: int | None) -> GroupTask:
    working = at_work(group)
    suggested = climb.step(working)
    number = suggested if chosen is None else min(chosen, climb.steps)
    step = ladder.steps[number - 1]
    return GroupTask(
        label=group.label,
        step=number,
        steps=climb.steps,
        along=step.along,
        task=step.task,
        expected=success_at(climb.group_ability(working), number),
        strand=climb.strand,
        rating=_rating(climb, working),
        seen=_seen(climb, working),
        unseen=tuple(member for member in working if member not in climb.latest),
        suggested=None if chosen is None else suggested,
        learners=working if working != group.members else (),
        swapped=tuple((one, ladder.steps[climb.step((one,)) - 1].task) for one in group.members if one not in working),
    )


def _rating(climb: Climb, members: tuple[str, ...]) -> float | None:
    roster, strand = climb.record.roster, climb.strand
    if not any(strand in student.ratings for student in roster.active):
        return None
    return sum(roster.rating(member, strand) for member in members) / len(members)


def _seen(climb: Climb, members: tuple[str, ...]) -> tuple[Seen, ...]:
    """The last results of the members, each once with those whose last it is, the latest first."""
    last = {id(seen): seen for member in members if (seen := climb.latest.get(member))}.values()
    kept = [replace(seen, members=tuple(m for m in members if climb.latest.get(m) is seen)) for seen in last]
    return tuple(sorted(kept, key=lambda seen: seen.result.key, reverse=True))
