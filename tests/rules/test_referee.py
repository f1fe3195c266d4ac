"""The referee against counts made here, and against plans that are no plans at all."""

from __future__ import annotations

from dataclasses import replace
from math import comb
from random import Random

import pytest
from any_problem import any_plan, begun
from builders import EIGHT, apart, class_of_eight, count_pairs, groups, key, pairs, plan_of, together
from hypothesis import given
from hypothesis import strategies as st

from grouper.errors import OurBugError
from grouper.model.plan import Group, Plan, Round
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.model.unit import Activity
from grouper.rules.referee import insist, judge, shape_faults
from grouper.rules.terms import Level, weight

IN_PAIRS = "ana ben | cem dia | eva fin | gil hana"
IN_PAIRS_AGAIN = "ana ben | cem eva | dia gil | fin hana"
chances = st.builds(Random, st.integers(0, 10**6))


def faults_of(line: str, record: ClassRecord | None = None) -> str:
    record = record or class_of_eight(pairs())
    return "; ".join(shape_faults(problem_of(record), plan_of(record, line)))


def test_plan_in_good_shape_has_no_fault() -> None:
    """Everybody once, in four pairs."""
    assert faults_of(IN_PAIRS) == ""


def test_missing_student_is_a_fault() -> None:
    """Hana in no group is named, and so are the sizes."""
    assert "hana: in no group" in faults_of("ana ben | cem dia | eva fin | gil")


def test_student_in_two_groups_is_a_fault() -> None:
    """Ana in two pairs, and so hana in none."""
    fault = faults_of("ana ben | cem dia | eva fin | gil ana")
    assert "ana: in two groups" in fault
    assert "hana: in no group" in fault


def test_student_twice_in_one_group_is_a_fault() -> None:
    """The same name twice in a pair is no pair."""
    assert "ana: in two groups" in faults_of("ana ana | cem dia | eva fin | gil hana")


def test_stranger_is_a_fault() -> None:
    """Somebody who takes no part is named."""
    assert "zoe: not in this round" in faults_of("ana ben | cem dia | eva fin | gil zoe")


def test_wrong_sizes_are_a_fault() -> None:
    """Two trios and a pair where pairs are wanted."""
    assert "the sizes are (3, 3, 2), wanted are (2, 2, 2, 2)" in faults_of("ana ben cem | dia eva fin | gil hana")


def test_same_label_twice_is_a_fault() -> None:
    """Two groups called 1 cannot be told apart in the gym."""
    record = class_of_eight(pairs())
    plan = Plan((Round(key(1), tuple(Group("1", group.members) for group in groups(IN_PAIRS))),))
    assert any("same label" in fault for fault in shape_faults(problem_of(record), plan))


def test_missing_round_is_a_fault() -> None:
    """A plan of one round for a unit of two."""
    record = class_of_eight(pairs(), lessons=2)
    one = Plan((Round(key(1), groups(IN_PAIRS)),))
    assert len(shape_faults(problem_of(record), one)) == 1


def taught_problem() -> Problem:
    record = class_of_eight(pairs(), lessons=2)
    stands = plan_of(record, IN_PAIRS, IN_PAIRS_AGAIN)
    return problem_of(replace(record, plan=stands, taught=frozenset({1})))


@pytest.mark.parametrize("changed", [IN_PAIRS_AGAIN, "ben ana | cem dia | eva fin | gil hana"])
def test_changed_past_is_a_fault(changed: str) -> None:
    """In a taught lesson not even the order within a pair changes."""
    problem = taught_problem()
    plan = Plan((Round(key(1), groups(changed)), Round(key(2), groups(IN_PAIRS_AGAIN))))
    assert [fault for fault in shape_faults(problem, plan) if "may not change" in fault]


def test_pinned_round_may_not_change() -> None:
    """A pinned round is as fixed as a taught one."""
    record = class_of_eight(pairs())
    stands = Plan((Round(key(1), groups(IN_PAIRS), pinned=True),))
    problem = problem_of(replace(record, plan=stands))
    assert shape_faults(problem, stands) == []
    assert shape_faults(problem, Plan((Round(key(1), groups(IN_PAIRS_AGAIN)),)))


def test_broken_request_in_a_taught_lesson_is_nobodys_fault_now() -> None:
    """A request that came after the lesson is a breach, but not one that could be avoided."""
    record = class_of_eight(pairs(), lessons=2, requests=(apart("ana", "ben"),))
    stands = plan_of(record, IN_PAIRS, IN_PAIRS_AGAIN)
    judgement = judge(problem_of(replace(record, plan=stands, taught=frozenset({1}))), stands)
    assert [tuple(breach.key) for breach in judgement.breaches] == [(1, 1, 1), (2, 1, 1)]
    assert [tuple(breach.key) for breach in judgement.avoidable] == [(2, 1, 1)]
    assert not judgement.accepted


def test_plan_that_breaks_a_request_is_our_bug() -> None:
    """A plan that must be right and is not ends in an error that carries the sentence."""
    record = class_of_eight(pairs(), requests=(apart("ana", "ben"),))
    with pytest.raises(OurBugError) as caught:
        insist(problem_of(record), plan_of(record, IN_PAIRS))
    assert caught.value.faults == ("lesson 1: Ana and Ben are to be kept apart and share a group",)


def test_plan_out_of_shape_is_our_bug() -> None:
    """The faults travel with the error."""
    record = class_of_eight(pairs())
    with pytest.raises(OurBugError) as caught:
        insist(problem_of(record), plan_of(record, "ana ben | cem dia | eva fin | gil"))
    assert any("hana" in fault for fault in caught.value.faults)


def test_class_of_eight_on_paper() -> None:
    """Two lessons in pairs in which only ana and ben meet again: one repeat, cost 1, at the weight of FRESH."""
    record = class_of_eight(pairs(), lessons=2)
    judgement = judge(problem_of(record), plan_of(record, IN_PAIRS, IN_PAIRS_AGAIN))
    assert judgement.accepted
    assert {rule: cost for rule, cost in judgement.costs.items() if cost} == {"fresh": 12 * 12}
    assert judgement.total == 12 * 12 * weight("", Level.FRESH)


@given(record=begun(odd=False, stays=False), chance=chances)
def test_breaches_are_those_counted_from_the_requests(record: ClassRecord, chance: Random) -> None:
    """Each request that holds in a lesson in which both take part, broken, is a breach, and nothing else is."""
    problem = problem_of(record)
    plan = any_plan(problem, chance)
    counted = 0
    for round_ in plan.rounds:
        there = {student for group in round_.groups for student in group.members}
        alone = all(len(group.members) == 1 for group in round_.groups)
        for request in record.requests:
            lessons = range(request.first_lesson or 1, (request.last_lesson or 99) + 1)
            if round_.key.lesson not in lessons or not {request.student, request.other} <= there:
                continue
            shared = any({request.student, request.other} <= set(group.members) for group in round_.groups)
            counted += shared if request.kind == "apart" else not shared and not alone
    breaches = [breach for breach in judge(problem, plan).breaches if breach.rule in ("apart", "together")]
    assert len(breaches) == counted


@given(record=begun(odd=False, stays=False), chance=chances)
def test_fresh_cost_is_that_of_a_count_by_hand(record: ClassRecord, chance: Random) -> None:
    """With closeness off: C(m, 2) summed over pairs, in hundredths, over the unit and lesson by lesson."""
    problem = problem_of(replace(record, settings=Settings(closeness="off")))
    plan = any_plan(problem, chance)
    costs = judge(problem, plan).costs
    assert costs["fresh"] == 100 * sum(comb(times, 2) for times in count_pairs(plan.rounds).values())
    by_lesson = (count_pairs(plan.of_lesson(lesson.number)) for lesson in record.unit.lessons)
    assert costs["fresh in a lesson"] == sum(comb(m, 2) for counted in by_lesson for m in counted.values())


@pytest.mark.parametrize(("closeness", "cost"), [("off", 100), ("mild", 12 * 11), ("strong", 16 * 13)])
def test_meetings_in_small_groups_count_more(closeness: str, cost: int) -> None:
    """Two who meet in a pair and then in a four cost the product of what both meetings weigh."""
    record = class_of_eight(pairs(), Activity("Game", size=4))
    record = replace(record, settings=Settings(closeness=closeness))
    plan = plan_of(record, "ana ben | cem dia | eva fin | gil hana", "ana ben cem eva | dia fin gil hana")
    assert judge(problem_of(record), plan).costs["fresh"] == 2 * cost


def test_together_is_not_asked_of_those_who_work_alone() -> None:
    """Alone work breaks no request for together."""
    record = class_of_eight(Activity("Run", size=1), requests=(together("ana", "ben"),))
    assert judge(problem_of(record), plan_of(record, " | ".join(EIGHT))).accepted


def test_request_waits_for_both_to_be_there() -> None:
    """A request with somebody who left the class before is no breach and no error."""
    record = class_of_eight(pairs(), requests=(together("ana", "hana"),))
    gone = replace(record.roster.by_id["hana"], last_lesson=0)
    record = replace(record, roster=record.roster.with_student(gone))
    judgement = judge(problem_of(record), plan_of(record, "ana ben gil | cem dia | eva fin"))
    assert judgement.accepted
