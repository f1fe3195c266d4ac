"""A step that the teacher chooses for a group: it goes before the suggested one until the teacher takes it back."""

from __future__ import annotations

from dataclasses import replace

from grouper.errors import InputError
from grouper.model.chosen_step import ChosenStep
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.tasks.remember import went
from grouper.tasks.suggest import GroupTask, ladder_for, tasks_of_round


def with_step(record: ClassRecord, key: RoundKey, label: str, step: int) -> ClassRecord:
    """The record with a step (from 1 for the easiest) for a group of a round.

    What was seen of the group in that round is then of this step.

    Raises
    ------
    InputError
        The activity has no ladder or no such step, or the round has no such group.
    """
    task = _task(record, key, label)
    if not 1 <= step <= task.steps:
        raise InputError(f"the tasks of '{record.unit.activity(key).name}' have steps 1 to {task.steps}, not {step}")
    members = next(group.members for group in record.plan.by_key[key].groups if group.label == label)
    chosen = ChosenStep(key, label, step, members)
    kept = [other for other in record.chosen_steps if (other.key, other.label) != (key, label)]
    return _results_follow(replace(record, chosen_steps=tuple(sorted([*kept, chosen], key=_order))), key, label)


def as_suggested(record: ClassRecord, key: RoundKey, label: str) -> ClassRecord:
    """The record in which a group gets the suggested step again.

    Raises
    ------
    InputError
        The round has no such group or no task, or nothing was chosen for it.
    """
    _task(record, key, label)
    kept = tuple(other for other in record.chosen_steps if (other.key, other.label) != (key, label))
    if len(kept) == len(record.chosen_steps):
        raise InputError(f"no step was chosen for group {label} in this round")
    return _results_follow(replace(record, chosen_steps=kept), key, label)


def _task(record: ClassRecord, key: RoundKey, label: str) -> GroupTask:
    if ladder_for(record, key) is None:
        raise InputError(f"'{record.unit.activity(key).name}' has no tasks yet; give it some first")
    tasks = tasks_of_round(record, key)
    if label not in tasks:
        known = f"its groups are {', '.join(tasks)}" if tasks else "it has no groups"
        raise InputError(f"this round has no group '{label}'; {known}")
    return tasks[label]


def _results_follow(record: ClassRecord, key: RoundKey, label: str) -> ClassRecord:
    """What was seen of the group is of the step that stands on its card."""
    result = next((one for one in record.results if (one.key, one.label) == (key, label)), None)
    return went(record, replace(result, step=None)) if result else record


def _order(chosen: ChosenStep) -> tuple[RoundKey, str]:
    return chosen.key, chosen.label
