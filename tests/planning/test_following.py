"""What was noted of a group follows its people when a round is put right."""

from __future__ import annotations

from dataclasses import replace

from builders import class_of_eight, groups, key, pairs, with_plan

from grouper.model.noted import Absence, ChosenTask, TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.admit import admit_unit
from grouper.planning.attend import absent, present
from grouper.planning.fairness import fairness_of
from grouper.planning.noting import dropped, seen, unseen, without_stale
from grouper.planning.plan import plan_unit
from grouper.planning.ran import corrected, had_role, next_unit

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OF_ANA, OF_EVA = TaskResult(key(1), "1", "hard"), TaskResult(key(1), "3", "easy")
CHOSEN = ChosenTask(key(1), "1", (4,), ("ana", "ben"))


def noted() -> ClassRecord:
    """The first pair found it hard, the third easy, and a step was chosen for the first."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, FOUR_PAIRS)
    return replace(seen(seen(record, OF_ANA), OF_EVA), chosen_tasks=(CHOSEN,))


def relabelled(record: ClassRecord, *labels: str) -> ClassRecord:
    """The round of lesson 1 with other labels for the same people."""
    now = (replace(group, label=label) for group, label in zip(groups(FOUR_PAIRS), labels, strict=True))
    return corrected(record, {key(1): tuple(now)})


def test_another_label_for_the_same_people_takes_all_along() -> None:
    """Red is the pair that found it hard."""
    record = relabelled(noted(), "Red", "2", "3", "4")
    assert record.results == (OF_EVA, replace(OF_ANA, label="Red"))
    assert record.chosen_tasks == (replace(CHOSEN, label="Red"),)


def test_labels_that_change_places_take_it_along_both_ways() -> None:
    """What was called 1 is called 3, and the other way round."""
    record = relabelled(noted(), "3", "2", "1", "4")
    assert record.results == (replace(OF_EVA, label="1"), replace(OF_ANA, label="3"))


def test_a_round_that_was_put_right_has_been_played() -> None:
    """Planning makes no other groups of it, and who coached stays when somebody of another group comes back."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, FOUR_PAIRS)
    record = had_role(record, key(1), "ben", "coach")
    assert plan_unit(record, seed=5, effort="quick").record.plan.by_key[key(1)].groups[0].role("ben") == "coach"
    back = present(absent(record, 1, ("gil", "hana")).record, 1, ("gil", "hana")).record
    assert back.plan.by_key[key(1)].groups[0].role("ben") == "coach"
    assert {frozenset(g.members) for g in back.plan.by_key[key(1)].groups} == {
        frozenset(pair.split()) for pair in FOUR_PAIRS.split(" | ")
    }


def test_a_choice_does_not_wander_to_others_one_by_one() -> None:
    """It is compared with those for whom it was made, not with those who were there just before."""
    record = replace(noted(), chosen_tasks=(replace(CHOSEN, members=("ana", "ben", "cem", "dia")),))
    for line in ("ana ben cem | dia | eva fin | gil hana", "ana ben eva | dia | cem fin | gil hana"):
        before = record.plan
        now = replace(before.by_key[key(1)], groups=groups(line))
        record = without_stale(replace(record, plan=before.with_rounds({key(1): now})), before)
    assert record.chosen_tasks == ()


def test_only_what_others_would_have_got_is_called_dropped() -> None:
    """A word that the teacher takes back is no news to the teacher."""
    record = noted()
    assert list(dropped(record, unseen(record, OF_ANA))) == []
    mended = absent(record, 1, ("ana", "cem")).record
    assert [str(line).split(" is ")[0] for line in dropped(record, mended)] == [
        "How the task went for group 1 in lesson 1, round 1",
        "The task chosen for group 1 in lesson 1, round 1",
    ]


def test_a_pin_outlives_a_word_that_is_taken_back() -> None:
    """Whoever pinned the round: planning leaves it until somebody says otherwise."""
    record = noted()
    assert unseen(unseen(record, OF_ANA), OF_EVA).plan.by_key[key(1)].pinned


UNEVEN = "ana ben cem | dia | eva fin | gil hana"


def test_what_ran_stays_though_groups_were_uneven() -> None:
    """Neither a new plan nor an absence in a later round makes other groups of it, and who comes back finds it so."""
    record = with_plan(class_of_eight(pairs(rounds=2), lessons=2), *(FOUR_PAIRS,) * 4)
    record = corrected(record, {key(1): groups(UNEVEN)})
    assert plan_unit(record, seed=3, effort="quick").record.plan.by_key[key(1)].groups == groups(UNEVEN)
    assert absent(record, 1, ("gil",), 2).record.plan.by_key[key(1)].groups == groups(UNEVEN)
    back = present(absent(record, 1, ("gil",), 2).record, 1, ("gil",)).record
    assert back.plan.by_key[key(1)].groups == groups(UNEVEN)


def test_who_was_marked_away_by_mistake_comes_back_to_what_ran() -> None:
    """The others stay where they really were, not where they had been planned."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, FOUR_PAIRS)
    record = corrected(record, {key(1): groups("ana cem | ben dia | eva fin | gil hana")})
    back = present(absent(record, 1, ("hana",)).record, 1, ("hana",)).record
    found = {frozenset(group.members) for group in back.plan.by_key[key(1)].groups}
    assert frozenset(("ana", "cem")) in found and frozenset(("ben", "dia")) in found


def test_a_choice_is_for_those_who_really_were_in_the_group() -> None:
    """Cem was in the group, not ben: what happens in another lesson does not take the choice away."""
    record = corrected(noted(), {key(1): groups("ana cem | ben dia | eva fin | gil hana")})
    assert record.chosen_tasks[0].members == ("ana", "cem")
    assert absent(record, 2, ("gil",)).record.chosen_tasks == record.chosen_tasks


def test_a_lesson_with_other_activities_says_what_goes_with_it() -> None:
    """Its pinned groups, and what was noted of them."""
    record = noted()
    changed = admit_unit(record, class_of_eight(Activity("Skills", size=4), lessons=2).unit)
    assert list(map(str, dropped(record, changed))) == [
        "How the task went for group 1 in lesson 1, round 1 is dropped, as that round has no groups any more.",
        "How the task went for group 3 in lesson 1, round 1 is dropped, as that round has no groups any more.",
        "The task chosen for group 1 in lesson 1, round 1 is dropped, as that round has no groups any more.",
        "The pinned groups of lesson 1, round 1 are gone.",
    ]


def test_what_ends_with_a_unit_is_not_called_dropped() -> None:
    """It is told before the unit is ended; and it is not that anybody else got it."""
    record = replace(noted(), taught=frozenset({1}))
    assert record.results and list(dropped(record, next_unit(record, record.unit).record)) == []


def test_a_bound_speaks_of_the_rounds_that_have_groups() -> None:
    """One round of two is planned: no bound is above what there is."""
    record = with_plan(class_of_eight(pairs(), lessons=9), *(FOUR_PAIRS,) * 9)
    some = replace(record, plan=replace(record.plan, rounds=record.plan.rounds[:2]))
    found = fairness_of(some)
    assert found.repeats == 4 and found.bounds.repeats == 0 < fairness_of(record).bounds.repeats


def test_absences_that_touch_are_one() -> None:
    """Away, back from round 3 on, and away again from round 3 on: away all the time."""
    record = with_plan(class_of_eight(pairs(rounds=4)), *(FOUR_PAIRS,) * 4)
    there = present(absent(record, 1, ("ana",)).record, 1, ("ana",), 3).record
    assert absent(there, 1, ("ana",), 3).record.absences == (Absence(1, "ana", "away"),)
