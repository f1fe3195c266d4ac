"""How a task went is kept with the step that stood on the card, so that a ladder changed later changes no past."""

from __future__ import annotations

from dataclasses import replace

from builders import class_of_eight, key, pairs, with_plan

from grouper.model.ladder import Ladder, Step
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.tasks.remember import went
from grouper.tasks.suggest import tasks_of_round

LADDER = Ladder("Passing", tuple(Step("space", f"{steps} steps apart") for steps in (2, 4, 6)))
FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"


def klass(*ladders: Ladder) -> ClassRecord:
    record = with_plan(class_of_eight(pairs(rounds=2)), FOUR_PAIRS, FOUR_PAIRS)
    return replace(record, ladders=ladders)


def test_the_step_of_the_card_is_kept() -> None:
    """It is the one that the card of that group had."""
    record = klass(LADDER)
    step = tasks_of_round(record, key(1, 1, 1))["4"].step
    (result,) = went(record, TaskResult(key(1, 1, 1), "4", "easy")).results
    assert result.step == step


def test_a_step_that_is_given_stays() -> None:
    """A teacher may know better."""
    assert went(klass(LADDER), TaskResult(key(1, 1, 1), "4", "easy", step=1)).results[0].step == 1


def test_without_a_ladder_there_is_no_step() -> None:
    """The result is kept all the same."""
    assert went(klass(), TaskResult(key(1, 1, 1), "4", hits=7, tries=10)).results[0].step is None
