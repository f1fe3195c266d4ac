"""How a task went, kept together with the step that stood on the group's card."""

from __future__ import annotations

from dataclasses import replace

from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.planning.noting import seen
from grouper.tasks.suggest import step_worked_at


def went(record: ClassRecord, result: TaskResult) -> ClassRecord:
    """The record with how a group's task went; the step that it worked at is looked up where it is not given.

    Raises
    ------
    InputError
        The round has no groups, or none with this label.
    """
    known = seen(record, result)
    if result.step is not None:
        return known
    step = step_worked_at(known, result.key, result.label)
    return known if step is None else seen(known, replace(result, step=step))
