"""A step that the teacher chooses goes before the suggested one: on the card, in what is seen, for later rounds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, key, pairs, with_plan

from grouper.errors import InputError
from grouper.model.levers import Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import ChosenTask, TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.adjust import swapped
from grouper.planning.attend import absent
from grouper.planning.ran import next_unit
from grouper.tasks.choose import as_suggested, setting_meant, ways, with_result, with_setting, with_task
from grouper.tasks.kept import merged, without
from grouper.tasks.rounds import tasks_of_round

LADDER = Challenge("Passing", (Lever("task", tuple(Setting(f"{steps} steps apart") for steps in (2, 4, 6, 8, 10))),))
FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
ROUND, LATER = key(1, 1, 1), key(1, 1, 2)


def klass() -> ClassRecord:
    record = with_plan(class_of_eight(pairs(rounds=2)), FOUR_PAIRS, FOUR_PAIRS)
    return replace(record, challenges=(LADDER,))


def other_step(record: ClassRecord) -> int:
    """The end of the ladder that is further from what is suggested for group 4."""
    return 1 if tasks_of_round(record, ROUND)["4"].at[0] > 3 else 5


def test_the_chosen_step_stands_on_the_card_with_the_suggested_one_beside_it() -> None:
    """Of that group in that round, and of no other."""
    before, step = klass(), other_step(klass())
    after = with_task(before, ROUND, "4", (step,))
    was, now = tasks_of_round(before, ROUND), tasks_of_round(after, ROUND)
    words = LADDER.levers[0].settings[step - 1].name
    assert (now["4"].at, now["4"].task, now["4"].suggested) == ((step,), words, was["4"].at)
    assert {label: now[label] for label in "123"} == {label: was[label] for label in "123"}
    later = (tasks_of_round(each, LATER) for each in (before, after))
    assert len({tuple(tasks[label].at for label in "123") for tasks in later}) == 1


def test_a_choice_is_replaced_and_taken_back() -> None:
    """There is one choice a group and round at most."""
    record = with_task(with_task(klass(), ROUND, "4", (1,)), ROUND, "4", (5,))
    assert record.chosen_tasks == (ChosenTask(ROUND, "4", (5,), ("gil", "hana")),)
    assert as_suggested(record, ROUND, "4") == klass()
    with pytest.raises(InputError, match="no task was chosen for group 4"):
        as_suggested(klass(), ROUND, "4")


def test_what_is_seen_is_of_the_chosen_step_whichever_comes_first() -> None:
    """So that later suggestions follow it: 5 of 10 at a hard step tells more of a group than at an easy one."""
    step, result = other_step(klass()), TaskResult(ROUND, "4", hits=5, tries=10)
    before = with_result(with_task(klass(), ROUND, "4", (step,)), result)
    after = with_task(with_result(klass(), result), ROUND, "4", (step,))
    assert before.results == after.results == (replace(result, at=(step,)),)
    back = as_suggested(after, ROUND, "4")
    assert back.results[0].at == tasks_of_round(klass(), ROUND)["4"].at
    easy, hard = (with_result(with_task(klass(), ROUND, "4", (at,)), result) for at in (1, 5))
    assert tasks_of_round(easy, LATER)["4"].at[0] < tasks_of_round(hard, LATER)["4"].at[0]


@pytest.mark.parametrize(
    ("label", "step", "says"),
    [("4", 0, "task 1 to 5, not 0"), ("4", 6, "task 1 to 5, not 6"), ("9", 2, "no group '9'")],
)
def test_what_cannot_be_chosen(label: str, step: int, says: str) -> None:
    """A step beyond the ladder, or for nobody."""
    with pytest.raises(InputError, match=says):
        with_task(klass(), ROUND, label, (step,))


def test_without_tasks_there_is_nothing_to_choose() -> None:
    """The message says what to do first."""
    with pytest.raises(InputError, match="has no tasks yet"):
        with_task(replace(klass(), challenges=()), ROUND, "4", (2,))


def test_other_people_get_no_task_that_was_chosen_for_others() -> None:
    """In a swap half of a pair goes, and so does the choice for it, with a word; the others stay."""
    record = with_task(with_task(klass(), ROUND, "1", (5,)), ROUND, "4", (5,))
    swap = swapped(record, 1, "ana", "cem", 1)
    assert swap.record.chosen_tasks == (ChosenTask(ROUND, "4", (5,), ("gil", "hana")),)
    assert "The task chosen for group 1 in lesson 1, round 1 is dropped" in "; ".join(map(str, swap.dropped))


def test_a_choice_stays_while_most_of_the_group_does() -> None:
    """Three of four are there: the task is theirs still. (A result would go: it is about the four.)"""
    fours = with_plan(class_of_eight(Activity("Passing", size=4)), "ana ben cem dia | eva fin gil hana")
    record = with_task(replace(fours, challenges=(LADDER,)), ROUND, "1", (5,))
    mended = absent(record, 1, ("ana",))
    (group,) = [g for g in mended.record.plan.by_key[ROUND].groups if g.label == "1"]
    assert set(group.members) >= {"ben", "cem", "dia"}
    assert mended.record.chosen_tasks == record.chosen_tasks


def test_another_ladder_and_another_unit_have_other_steps() -> None:
    """Choices end with the ladder or the unit that they were made for; the same ladder read again changes nothing."""
    record = with_task(klass(), ROUND, "4", (5,))
    assert merged(record, [LADDER]) == record
    assert merged(record, [Challenge("Passing", (Lever("task", LADDER.levers[0].settings[:3]),))]).chosen_tasks == ()
    assert merged(record, [Challenge("Cup", LADDER.levers)]).chosen_tasks == record.chosen_tasks
    assert without(record, "Passing").chosen_tasks == ()
    assert next_unit(replace(record, taught=frozenset({1})), record.unit).record.chosen_tasks == ()


LARGE, SMALL = (Setting(size, "", (Needed(f"{size} ball"),)) for size in ("large", "small"))
BALL = Lever("ball", (LARGE, SMALL), "equipment")
DISTANCE = Lever("distance", (Setting("near"), Setting("half way"), Setting("far")), "space")
HAND = Lever("hand", (Setting("both hands"), Setting("one hand"), Setting("other hand")), "action")
SCORING = Lever("scoring", (Setting("each counts"), Setting("double in the zone")), "scoring")


def with_levers(*levers: Lever, **more: object) -> ClassRecord:
    record = with_plan(class_of_eight(pairs(rounds=2)), FOUR_PAIRS, FOUR_PAIRS)
    return replace(record, challenges=(Challenge("Passing", levers),), **more)  # type: ignore[arg-type]


def test_easier_and_harder_are_three_ways_each_another_lever_the_least_to_rearrange_first() -> None:
    """Other points and another hand need nothing to be fetched, another ball does; a distance is walked."""
    record = with_task(with_levers(BALL, DISTANCE, HAND, SCORING), ROUND, "4", (1, 2, 2, 1))
    harder = ways(record, ROUND, "4", harder=True)
    assert [(way.lever, way.setting) for way in harder] == [
        ("scoring", "double in the zone"), ("hand", "other hand"), ("distance", "far"),
    ]  # fmt: skip
    expected = tasks_of_round(record, ROUND)["4"].expected
    assert all(way.expected < expected for way in harder)
    easier = ways(record, ROUND, "4", harder=False)
    assert [(way.lever, way.setting) for way in easier] == [("hand", "both hands"), ("distance", "near")]
    assert all(way.expected > expected for way in easier)
    assert all(sum(a != b for a, b in zip(way.at, (1, 2, 2, 1), strict=True)) == 1 for way in (*harder, *easier))


def test_a_way_says_what_is_to_be_fetched_and_whether_there_is_enough() -> None:
    """A small ball for a large one; with all small balls out it is said and comes last."""
    record = with_task(with_levers(BALL, DISTANCE), ROUND, "4", (1, 2))
    ball = next(way for way in ways(record, ROUND, "4", harder=True) if way.lever == "ball")
    assert (ball.fetch, ball.put_back, ball.enough) == ((("small ball", 1),), (("large ball", 1),), True)
    none_left = replace(record, cupboard=(Store("small ball", 0),))
    last = ways(none_left, ROUND, "4", harder=True)[-1]
    assert (last.lever, last.enough) == ("ball", False)


@pytest.mark.parametrize(
    ("said", "at"), [("small", (2, 2)), ("ball:small", (2, 2)), ("Distance = Far", (1, 3)), ("distance:1", (1, 1)),
                       ("ball:the small", (2, 2)), ("half way", (1, 2))],
)  # fmt: skip
def test_a_setting_is_typed_by_name_or_number(said: str, at: tuple[int, ...]) -> None:
    """The other levers stay."""
    record = with_task(with_levers(BALL, DISTANCE), ROUND, "4", (1, 2))
    assert tasks_of_round(with_setting(record, ROUND, "4", said), ROUND)["4"].at == at
    assert setting_meant(LADDER, (2,), "4") == (4,)


@pytest.mark.parametrize("said", ["4", "ball", "ball:tiny", "hoop:1", ""])
def test_what_is_no_setting_is_said_with_how_to_write_one(said: str) -> None:
    with pytest.raises(InputError, match="no setting of 'Passing'; "):
        with_setting(with_levers(BALL, DISTANCE), ROUND, "4", said)


def test_a_result_is_kept_with_the_task_that_stood_on_the_card() -> None:
    """So that levers changed later change no past; a task that is given stays, and without levers there is none."""
    result = TaskResult(ROUND, "4", "easy")
    assert with_result(klass(), result).results[0].at == tasks_of_round(klass(), ROUND)["4"].at
    assert with_result(klass(), replace(result, at=(1,))).results[0].at == (1,)
    assert with_result(replace(klass(), challenges=()), result).results[0].at == ()


def test_what_was_seen_goes_on_to_mean_the_same_settings() -> None:
    """A lever that comes later was not in play, one that goes takes its settings along, a name is found elsewhere."""
    record = with_result(with_levers(BALL, DISTANCE), TaskResult(ROUND, "4", "easy", at=(2, 3)))
    now = merged(record, [Challenge("passing", (HAND, DISTANCE))])
    assert now.results[0].at == (0, 3)
    turned = merged(record, [Challenge("Passing", (DISTANCE, Lever("ball", (BALL.settings[1], BALL.settings[0]))))])
    assert turned.results[0].at == (3, 1)
    assert merged(record, [Challenge("Passing", (HAND, SCORING))]).results[0].at == ()


def test_a_setting_of_two_levers_is_asked_for_with_its_lever() -> None:
    """'far' of the throw or of the goal: neither is taken."""
    goal = Lever("goal", (Setting("near"), Setting("far")))
    with pytest.raises(InputError, match="no setting of 'Passing'; write it as "):
        with_setting(with_levers(goal, DISTANCE), ROUND, "4", "far")
