"""A step that the teacher chooses goes before the suggested one: on the card, in what is seen, for later rounds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, key, pairs, with_plan

from grouper.errors import InputError
from grouper.model.chosen_step import ChosenStep
from grouper.model.ladder import Ladder, Step
from grouper.model.record import ClassRecord
from grouper.model.task_result import TaskResult
from grouper.model.unit import Activity
from grouper.planning.adjust import swapped
from grouper.planning.attend import absent
from grouper.planning.next_unit import next_unit
from grouper.tasks.choose import as_suggested, with_step
from grouper.tasks.ladders_kept import merged, without
from grouper.tasks.remember import went
from grouper.tasks.suggest import tasks_of_round

LADDER = Ladder("Passing", tuple(Step("space", f"{steps} steps apart") for steps in (2, 4, 6, 8, 10)))
FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
ROUND, LATER = key(1, 1, 1), key(1, 1, 2)


def klass() -> ClassRecord:
    record = with_plan(class_of_eight(pairs(rounds=2)), FOUR_PAIRS, FOUR_PAIRS)
    return replace(record, ladders=(LADDER,))


def other_step(record: ClassRecord) -> int:
    """The end of the ladder that is further from what is suggested for group 4."""
    return 1 if tasks_of_round(record, ROUND)["4"].step > 3 else 5


def test_the_chosen_step_stands_on_the_card_with_the_suggested_one_beside_it() -> None:
    """Of that group in that round, and of no other."""
    before, step = klass(), other_step(klass())
    after = with_step(before, ROUND, "4", step)
    was, now = tasks_of_round(before, ROUND), tasks_of_round(after, ROUND)
    assert (now["4"].step, now["4"].task, now["4"].suggested) == (step, LADDER.steps[step - 1].task, was["4"].step)
    assert {label: now[label] for label in "123"} == {label: was[label] for label in "123"}
    assert tasks_of_round(after, LATER) == tasks_of_round(before, LATER)


def test_a_choice_is_replaced_and_taken_back() -> None:
    """There is one choice a group and round at most."""
    record = with_step(with_step(klass(), ROUND, "4", 1), ROUND, "4", 5)
    assert record.chosen_steps == (ChosenStep(ROUND, "4", 5, ("gil", "hana")),)
    assert as_suggested(record, ROUND, "4") == klass()
    with pytest.raises(InputError, match="no step was chosen for group 4"):
        as_suggested(klass(), ROUND, "4")


def test_what_is_seen_is_of_the_chosen_step_whichever_comes_first() -> None:
    """So that later suggestions follow it: 5 of 10 at a hard step tells more of a group than at an easy one."""
    step, result = other_step(klass()), TaskResult(ROUND, "4", hits=5, tries=10)
    before = went(with_step(klass(), ROUND, "4", step), result)
    after = with_step(went(klass(), result), ROUND, "4", step)
    assert before.results == after.results == (replace(result, step=step),)
    back = as_suggested(after, ROUND, "4")
    assert back.results[0].step == tasks_of_round(klass(), ROUND)["4"].step
    easy, hard = (went(with_step(klass(), ROUND, "4", at), result) for at in (1, 5))
    assert tasks_of_round(easy, LATER)["4"].step < tasks_of_round(hard, LATER)["4"].step


@pytest.mark.parametrize(
    ("label", "step", "says"),
    [("4", 0, "steps 1 to 5, not 0"), ("4", 6, "steps 1 to 5, not 6"), ("9", 2, "no group '9'")],
)
def test_what_cannot_be_chosen(label: str, step: int, says: str) -> None:
    """A step beyond the ladder, or for nobody."""
    with pytest.raises(InputError, match=says):
        with_step(klass(), ROUND, label, step)


def test_without_tasks_there_is_nothing_to_choose() -> None:
    """The message says what to do first."""
    with pytest.raises(InputError, match="has no tasks yet"):
        with_step(replace(klass(), ladders=()), ROUND, "4", 2)


def test_other_people_get_no_task_that_was_chosen_for_others() -> None:
    """In a swap half of a pair goes, and so does the choice for it, with a word; the others stay."""
    record = with_step(with_step(klass(), ROUND, "1", 5), ROUND, "4", 5)
    swap = swapped(record, 1, "ana", "cem", 1)
    assert swap.record.chosen_steps == (ChosenStep(ROUND, "4", 5, ("gil", "hana")),)
    assert "The task chosen for group 1 in lesson 1, round 1 is dropped" in "; ".join(map(str, swap.dropped))


def test_a_choice_stays_while_most_of_the_group_does() -> None:
    """Three of four are there: the task is theirs still. (A result would go: it is about the four.)"""
    fours = with_plan(class_of_eight(Activity("Passing", size=4)), "ana ben cem dia | eva fin gil hana")
    record = with_step(replace(fours, ladders=(LADDER,)), ROUND, "1", 5)
    mended = absent(record, 1, ("ana",))
    (group,) = [g for g in mended.record.plan.by_key[ROUND].groups if g.label == "1"]
    assert set(group.members) >= {"ben", "cem", "dia"}
    assert mended.record.chosen_steps == record.chosen_steps


def test_another_ladder_and_another_unit_have_other_steps() -> None:
    """Choices end with the ladder or the unit that they were made for; the same ladder read again changes nothing."""
    record = with_step(klass(), ROUND, "4", 5)
    assert merged(record, [LADDER]) == record
    assert merged(record, [Ladder("Passing", LADDER.steps[:3])]).chosen_steps == ()
    assert merged(record, [Ladder("Cup", LADDER.steps)]).chosen_steps == record.chosen_steps
    assert without(record, "Passing").chosen_steps == ()
    assert next_unit(replace(record, taught=frozenset({1})), record.unit).record.chosen_steps == ()
