"""How a task went is about the people who did it: it never passes to others when groups are made anew."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, groups, key, pairs, with_plan

from grouper.model.noted import TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.adjust import pinned, swapped, with_other_groups
from grouper.planning.admit import admit_unit
from grouper.planning.attend import absent, present
from grouper.planning.noting import seen
from grouper.planning.plan import plan_unit
from grouper.planning.ran import moved
from grouper.planning.repair import repair

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHERS = "ana cem | ben dia | eva gil | fin hana"
OF_ANA = TaskResult(key(1), "1", hits=2, tries=10)
OF_EVA = TaskResult(key(1), "3", "easy")


def tried() -> ClassRecord:
    """Two lessons of four pairs; the first pair of lesson 1 found it hard, the third easy."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, OTHERS)
    return seen(seen(record, OF_ANA), OF_EVA)


def test_a_round_with_results_is_planned_no_more() -> None:
    """Another seed makes no other groups of it, and both results stay."""
    record = plan_unit(tried(), seed=7, effort="quick").record
    assert record.plan.by_key[key(1)].groups == groups(FOUR_PAIRS)
    assert record.results == (OF_ANA, OF_EVA)


def test_unpinned_by_hand_and_planned_anew_it_loses_what_is_about_others_now() -> None:
    """A result stays only where the very same people are in the group of that label."""
    record = plan_unit(pinned(tried(), 1, None, pin=False), seed=7, effort="quick").record
    now = {group.label: set(group.members) for group in record.plan.by_key[key(1)].groups}
    stands = {"1": {"ana", "ben"}, "3": {"eva", "fin"}}
    assert {result.label for result in record.results} == {at for at, who in stands.items() if now.get(at) == who}


def test_mending_drops_what_it_touches_and_says_so() -> None:
    """Ana is away after all: her pair is no pair any more; eva's result stays."""
    mended = absent(tried(), 1, ("ana", "cem"))
    assert mended.record.results == (OF_EVA,)
    assert any("group 1 in lesson 1, round 1 is dropped" in str(remark) for remark in mended.remarks)
    assert present(mended.record, 1, ("ana", "cem")).record.results == (OF_EVA,)


def test_fewer_groups_are_other_groups() -> None:
    """Two groups of four: nothing is known of them."""
    assert repair(with_other_groups(tried(), 1, "Passing", 2, None)).record.results == ()


def test_a_swap_touches_two_groups() -> None:
    """Ben and cem swap: the first pair is another one."""
    assert swapped(tried(), 1, "ben", "cem").record.results == (OF_EVA,)


def test_what_is_only_put_right_stays() -> None:
    """Ben was with cem and dia all along, so that the first result was ana's alone."""
    assert moved(tried(), key(1), "ben", "2").results == (OF_ANA, OF_EVA)


@pytest.mark.parametrize("activity", [pairs(), pairs(name="Dribbling"), Activity("Passing", size=4)])
def test_another_activity_in_its_place_has_no_results(activity: Activity) -> None:
    """A lesson read anew keeps them under whatever name; in fours they would be of others."""
    record = tried()
    first = replace(record.unit.lessons[0], activities=(activity,))
    admitted = admit_unit(record, replace(record.unit, lessons=(first, record.unit.lessons[1])))
    assert admitted.results == (record.results if activity.in_pairs else ())
