"""Whoever joins or leaves for the rest of the unit: today is mended, and the lessons after it are planned again."""

from __future__ import annotations

from dataclasses import replace

from builders import STRAND, apart, pairs, quick, record_of, roster_of

from grouper.model.ledger import ledger_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Activity
from grouper.planning.adjust import pinned
from grouper.planning.admit import NewList, admit_roster
from grouper.planning.attend import join, leave, with_the_rest
from grouper.planning.fairness import fairness_of
from grouper.planning.repair import Repair, repair

ONE, TWO = Student("new-1", "Ada New", {STRAND: 2}), Student("new-2", "Bo New", {STRAND: 3})


def begun() -> ClassRecord:
    """Twenty in five lessons of two rounds in pairs and one of coaching, the first lesson taught."""
    help_ = Activity("Help", "coaching", size=2, strand=STRAND, min_gap=1, max_gap=3)
    record = quick(record_of(roster_of(20, [1 + place % 5 for place in range(20)]), pairs(2), help_, lessons=5))
    return replace(record, taught=frozenset({1}))


def imported(record: ClassRecord) -> Repair:
    """The roster read again with two new students on it."""
    roster = replace(record.roster, students=(*record.roster.students, ONE, TWO))
    return with_the_rest(record, repair(admit_roster(record, NewList(roster)).record))


def changed_groups(before: ClassRecord, after: ClassRecord, lessons: range) -> tuple[int, int]:
    """How many groups of these lessons are there no more, of how many."""
    keys = [round_.key for round_ in before.plan.rounds if round_.key.lesson in lessons]
    gone = sum(len(before.plan.by_key[key].as_sets - after.plan.by_key[key].as_sets) for key in keys)
    return gone, sum(len(before.plan.by_key[key].groups) for key in keys)


def test_two_newcomers_work_with_others() -> None:
    """Today, in lesson 2, they are a pair of their own; in the nine rounds after it they meet once at most."""
    before = begun()
    after = imported(before)
    assert ledger_of(after.record.plan.of_lesson(2)).met("new-1", "new-2") == 3
    assert changed_groups(before, after.record, range(1, 3))[0] == 0
    later = ledger_of(round_ for round_ in after.record.plan.rounds if round_.key.lesson > 2)
    assert later.met("new-1", "new-2") <= 1
    assert min(later.partners(["new-1", "new-2"]).values()) >= 8


def test_few_groups_change_and_the_plan_is_good() -> None:
    """Of 90 groups in lessons 3 to 5 a quarter is other at most, and the unit has hardly a repeat beyond today's."""
    before = begun()
    after = imported(before).record
    gone, stood = changed_groups(before, after, range(3, 6))
    assert stood == 90
    assert gone <= stood // 4
    assert fairness_of(after).repeats <= 4


def test_it_is_said() -> None:
    """The changes listed are those of today; one sentence is about the rest."""
    after = imported(begun())
    assert {change.key.lesson for change in after.changes} == {2}
    assert str(after.remarks[-1]).startswith("Lessons 3 to 5 are planned again with Ada New and Bo New; ")


def test_one_who_joins_by_name_is_planned_in_too() -> None:
    """A single newcomer makes the class odd.

    Today fewest moves make them the third of a trio in each round; over the rest they are in none, and others one or
    two times more often than some.
    """
    after = join(begun(), ONE, 2)
    assert "planned again with Ada New" in str(after.remarks[-1])
    trio = fairness_of(after.record).trio
    assert trio is not None
    today = [group for round_ in after.record.plan.of_lesson(2) for group in round_.groups if len(group.members) == 3]
    assert trio.by_student["new-1"] == sum("new-1" in group.members for group in today)
    assert trio.most - trio.fewest <= 2 and trio.most <= 3


def test_who_leaves_is_planned_out() -> None:
    """The trio that their partner joins goes round, and requests and windows hold."""
    record = begun()
    record = replace(record, requests=(apart("s01", "s02"),))
    after = leave(record, "s05", 2)
    assert "planned again without Student 05" in str(after.remarks[-1])
    assert [breach for breach in fairness_of(after.record).breaches if breach.key.lesson > 1] == []


def test_what_is_pinned_or_ran_stays() -> None:
    """A pinned round of a later lesson is mended with fewest moves, and no more."""
    before = pinned(begun(), 4, 1)
    key = before.lesson(4).keys[0]
    after = imported(before).record.plan.by_key[key]
    assert before.plan.by_key[key].as_sets < after.as_sets
    assert frozenset({"new-1", "new-2"}) in after.as_sets
