"""Repair on the day: the past stands, requests hold, and nobody moves who need not."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

import pytest
from any_problem import records
from builders import (
    apart,
    class_of,
    class_of_eight,
    count_pairs,
    hasty,
    key,
    pairs,
    quick,
    roster_of,
    together,
    with_plan,
)
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grouper.errors import ImpossibleError
from grouper.model.noted import Absence
from grouper.model.plan import Plan, Round
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import pinned
from grouper.planning.attend import absent, aside, join, leave, present
from grouper.planning.repair import Repair
from grouper.rules.referee import judge

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"


def labels(round_: Round) -> dict[str, str]:
    return {student: group.label for group in round_.groups for student in group.members}


def moved(before: Round, after: Round) -> set[str]:
    """Who was and is there, in a group with another label."""
    was, now = labels(before), labels(after)
    return {student for student in was.keys() & now.keys() if was[student] != now[student]}


# --- on paper ---


def test_pair_that_loses_one_joins_another_pair() -> None:
    """Ana is away from four pairs: ben joins one pair, and no other group changes."""
    mended = absent(with_plan(class_of_eight(pairs()), FOUR_PAIRS), 1, ("ana",))
    (change,) = mended.changes
    assert len(change.after) == 1
    assert set(change.after[0].members) > {"ben"}
    assert len(change.after[0].members) == 3
    assert len(change.before) == 2


def test_four_that_loses_one_stays_a_three() -> None:
    """Ana is away from two fours: nobody else moves."""
    record = with_plan(class_of_eight(Activity("Game", size=4)), "ana ben cem dia | eva fin gil hana")
    mended = absent(record, 1, ("ana",)).record
    assert [group.members for group in mended.plan.rounds[0].groups] == [
        ("ben", "cem", "dia"),
        ("eva", "fin", "gil", "hana"),
    ]


def test_trio_that_loses_one_is_a_pair() -> None:
    """In an odd class the trio takes the loss: nobody moves."""
    record = with_plan(class_of(7, pairs()), "s01 s02 s03 | s04 s05 | s06 s07")
    mended = absent(record, 1, ("s02",)).record
    assert mended.plan.rounds[0].as_sets == {frozenset(t.split()) for t in ("s01 s03", "s04 s05", "s06 s07")}


def test_two_away_from_two_pairs_leave_a_new_pair() -> None:
    """Those left over of two pairs work together; the other pairs stay."""
    mended = absent(with_plan(class_of_eight(pairs()), FOUR_PAIRS), 1, ("ana", "hana")).record
    assert mended.plan.rounds[0].as_sets == {frozenset(t.split()) for t in ("ben gil", "cem dia", "eva fin")}


def test_trio_goes_to_whoever_has_had_fewest() -> None:
    """After a lesson in which cem and dia were in the trio, ben does not join them in the next."""
    record = with_plan(
        class_of_eight(pairs(), lessons=2), "ana eva | ben gil | cem fin | dia hana", FOUR_PAIRS
    )
    for away in ("ana", "hana"):  # eva is left over, then dia; whoever takes them in has had a turn
        record = replace(absent(record, 1, (away,)).record)
    first = with_plan(record, "cem dia hana | ben gil | eva fin", FOUR_PAIRS)
    first = replace(first, absences=(), taught=frozenset({1}))
    mended = absent(first, 2, ("ana",)).record
    trio = next(group for group in mended.plan.rounds[1].groups if len(group.members) == 3)
    assert set(trio.members) == {"ben", "eva", "fin"}


def test_lone_student_avoids_who_they_are_apart_from() -> None:
    """Ben, left over, may join one of three pairs and is apart from one in each of two."""
    asked = (apart("ben", "cem"), apart("ben", "gil"))
    mended = absent(with_plan(class_of_eight(pairs(), requests=asked), FOUR_PAIRS), 1, ("ana",)).record
    assert mended.plan.rounds[0].as_sets == {frozenset(t.split()) for t in ("ben eva fin", "cem dia", "gil hana")}


def test_two_together_lose_one_and_nothing_is_asked() -> None:
    """A request with somebody who is away asks nothing of the one who is there."""
    record = with_plan(class_of_eight(pairs(), requests=(together("ana", "ben"),)), FOUR_PAIRS)
    assert len(absent(record, 1, ("ana",)).changes) == 1


def test_absence_from_the_second_round_on_leaves_the_first() -> None:
    """Somebody hurt in round 1 stays in its groups."""
    record = with_plan(class_of_eight(pairs(2)), FOUR_PAIRS, "ana cem | ben dia | eva gil | fin hana")
    mended = absent(record, 1, ("ana",), since=2).record
    assert mended.plan.rounds[0] == record.plan.rounds[0]
    assert "ana" not in mended.plan.rounds[1].students


def test_who_stands_aside_takes_no_part() -> None:
    """Aside is mended as away is."""
    record = with_plan(class_of_eight(pairs()), FOUR_PAIRS)
    assert aside(record, 1, ("ana",), "scorer").record.plan == absent(record, 1, ("ana",)).record.plan


def test_late_arrival_gives_the_planned_groups_back() -> None:
    """Absent, then present: the plan is as it was, and the changes say what came back."""
    record = with_plan(class_of_eight(pairs()), FOUR_PAIRS)
    back = present(absent(record, 1, ("ana",)).record, 1, ("ana",))
    assert back.record.plan == record.plan
    assert back.changes


def test_one_of_two_comes_back() -> None:
    """Of ana and hana, away, ana is back: ben has her again, and gil is with whom he was."""
    record = with_plan(class_of_eight(pairs()), FOUR_PAIRS)
    mended = present(absent(record, 1, ("ana", "hana")).record, 1, ("ana",)).record
    assert len(mended.plan.rounds[0].students) == 7
    assert judge(problem_of(mended, frozenset({key(1)})), mended.plan).accepted


def test_late_arrival_gives_pinned_groups_back() -> None:
    """A round pinned as it was planned is, after absent and present, as it was pinned, though its pairs met before."""
    record = pinned(with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, FOUR_PAIRS), 2, None)
    back = present(absent(record, 2, ("ana",)).record, 2, ("ana",)).record
    assert back.plan == record.plan


def test_who_joins_is_in_every_lesson_to_come() -> None:
    """Somebody new from lesson 2 on: lesson 1 is not touched, and in lesson 2 a pair takes them in."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, "ana cem | ben dia | eva gil | fin hana")
    record = replace(record, taught=frozenset({1}))
    joined = join(record, Student("zoe", "Zoe"), 2).record
    assert joined.plan.rounds[0] == record.plan.rounds[0]
    assert "zoe" in joined.plan.rounds[1].students
    assert moved(record.plan.rounds[1], joined.plan.rounds[1]) == set()


def test_who_leaves_is_gone_from_the_lessons_to_come_only() -> None:
    """The past keeps who left."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, "ana cem | ben dia | eva gil | fin hana")
    left = leave(replace(record, taught=frozenset({1})), "ana", 2).record
    assert left.plan.rounds[0] == record.plan.rounds[0]
    assert "ana" not in left.plan.rounds[1].students


def test_groups_that_stay_are_mended_alike() -> None:
    """Two rounds that stay in the groups before them: whoever is away from the first on, both have the same groups."""
    unit = Unit((Lesson(1, (Activity("A", size=4), Activity("B", "stay", rounds=2))),))
    line = "s01 s02 s03 s04 | s05 s06 s07 | s08 s09 s10"
    record = with_plan(ClassRecord(roster_of(10), unit), line, line, line)
    for student in record.roster.students:
        mended = absent(record, 1, (student.id,), since=2).record
        assert mended.plan.rounds[1].as_sets == mended.plan.rounds[2].as_sets, student.id


# --- whole classes ---


def test_even_class_in_pairs_changes_one_group_a_round() -> None:
    """Thirty in pairs, six rounds, whoever is away: in each round one group is new, and all others are as they were."""
    record = hasty(class_of(30, pairs(6)))
    for student in ("s01", "s17", "s30"):
        mended = absent(record, 1, (student,))
        assert len(mended.changes) == 6
        assert all(len(change.after) == 1 and len(change.before) == 2 for change in mended.changes)


def test_fours_of_twenty_eight_nobody_else_moves() -> None:
    """Twenty-eight in fours: one away leaves a three, and nobody has another group."""
    record = hasty(class_of(28, Activity("Game", size=4, rounds=4)))
    for student in ("s01", "s15", "s28"):
        mended = absent(record, 1, (student,)).record
        for before, after in zip(record.plan.rounds, mended.plan.rounds, strict=True):
            assert moved(before, after) == set()
            assert sorted(after.sizes) == [3, 4, 4, 4, 4, 4, 4]


@pytest.mark.parametrize("seed", range(6))
def test_of_as_many_turns_the_trio_goes_to_whoever_has_none_to_come(seed: int) -> None:
    """Nobody has had a turn; cem, dia and gil will have one in lesson 2, so that ben joins eva and fin today."""
    record = replace(class_of_eight(pairs(), lessons=2), seed=seed, absences=(Absence(2, "hana"),))
    record = with_plan(record, FOUR_PAIRS, "cem dia gil | ana ben | eva fin")
    trio = next(g for g in absent(record, 1, ("ana",)).record.plan.rounds[0].groups if len(g.members) == 3)
    assert set(trio.members) == {"ben", "eva", "fin"}


def test_trio_goes_round_while_somebody_else_is_away_each_lesson() -> None:
    """Twelve in pairs over eight lessons, each with another one away: each trio is the pair with the fewest turns."""
    record = hasty(class_of(12, pairs(), lessons=8))
    turns: Counter[str] = Counter()
    for lesson in range(1, 9):
        stood = record.plan.rounds[lesson - 1]
        away = f"s{lesson:02}"
        record = absent(record, lesson, (away,)).record
        trio = next(group for group in record.plan.rounds[lesson - 1].groups if len(group.members) == 3)
        hosts = [group.members for group in stood.groups if set(group.members) < set(trio.members)]
        possible = [group.members for group in stood.groups if away not in group.members]
        fewest = min(sum(turns[student] for student in pair) for pair in possible)
        assert [sum(turns[student] for student in pair) for pair in hosts] == [fewest]
        turns.update(trio.members)
        record = replace(record, taught=record.taught | {lesson})


# --- any small class ---


@st.composite
def planned(draw: st.DrawFn) -> ClassRecord:
    """A small class with a plan, some lessons of which have been taught."""
    record = draw(records(fewest=3, most=7, absent=False, stays=False, windows=False))
    try:
        record = hasty(record)
    except ImpossibleError:
        assume(False)
    return replace(record, taught=frozenset(range(1, draw(st.integers(1, len(record.unit.lessons))))))


@st.composite
def absences(draw: st.DrawFn) -> tuple[ClassRecord, int, tuple[str, ...], int]:
    """Such a class, a lesson to come, one or two who are away, and the round from which on."""
    record = draw(planned())
    lesson = draw(st.sampled_from([lesson for lesson in record.unit.lessons if lesson.number not in record.taught]))
    ids = [student.id for student in record.roster.students]
    away = draw(st.lists(st.sampled_from(ids), min_size=1, max_size=2, unique=True))
    return record, lesson.number, tuple(away), draw(st.integers(1, len(lesson.keys)))


def repaired(case: tuple[ClassRecord, int, tuple[str, ...], int]) -> Repair | None:
    """None where the requests cannot be met without those who are away."""
    try:
        return absent(*case)
    except ImpossibleError:
        return None


@settings(max_examples=20)
@given(case=absences())
def test_only_rounds_of_that_lesson_change(case: tuple[ClassRecord, int, tuple[str, ...], int]) -> None:
    """All other lessons, and the rounds before the absence, are the very same."""
    record, lesson, _, since = case
    mended = repaired(case)
    if mended is None:
        return
    touched = set(record.lesson(lesson).keys[since - 1 :])
    for before, after in zip(record.plan.rounds, mended.record.plan.rounds, strict=True):
        assert before == after or before.key in touched


@settings(max_examples=20)
@given(case=absences())
def test_repair_is_accepted_and_breaks_no_request(case: tuple[ClassRecord, int, tuple[str, ...], int]) -> None:
    """The referee accepts the mended plan, and requests hold by a count made here."""
    mended = repaired(case)
    if mended is None:
        return
    record = mended.record
    assert judge(problem_of(record), record.plan).accepted
    for round_ in record.plan.of_lesson(case[1]):
        met = count_pairs([round_]).keys()
        alone = all(len(group.members) == 1 for group in round_.groups)
        for request in record.requests:
            if request.holds_in(round_.key.lesson) and {*request.pair} <= set(round_.students):
                assert (request.pair in met) == (request.kind == "together") or (alone and request.kind == "together")


@settings(max_examples=20)
@given(case=absences())
def test_no_other_way_moves_fewer(case: tuple[ClassRecord, int, tuple[str, ...], int]) -> None:
    """In each round of the lesson no seating that keeps the requests has fewer students in another group."""
    mended = repaired(case)
    if mended is None:
        return
    record, lesson, _, _ = case
    for before in record.plan.of_lesson(lesson):
        after = mended.record.plan.by_key[before.key]
        assert len(moved(before, after)) == fewest_moves(mended.record, before)


def fewest_moves(record: ClassRecord, before: Round) -> int:
    """The fewest that have to change their group, by trying every seating in the places that there are."""
    spec = problem_of(record, frozenset({before.key})).by_key[before.key]
    was, places = labels(before), [group.label for group in before.groups]
    wanted = sorted([*spec.sizes, *[0] * (len(places) - len(spec.sizes))])
    alone = max(spec.sizes, default=1) == 1
    least = len(spec.students)
    for seats in product(places, repeat=len(spec.students)):
        now = dict(zip(spec.students, seats, strict=True))
        if sorted(seats.count(place) for place in places) == wanted and _keeps(record, before, now, alone):
            least = min(least, sum(was[student] != now[student] for student in now))
    return least


def _keeps(record: ClassRecord, round_: Round, now: dict[str, str], alone: bool) -> bool:
    asked = [r for r in record.requests if r.holds_in(round_.key.lesson) and {*r.pair} <= now.keys()]
    shared = {request: now[request.student] == now[request.other] for request in asked}
    return all(
        shared[request] == (request.kind == "together") or (alone and request.kind == "together") for request in asked
    )


@settings(max_examples=20)
@given(case=absences())
def test_all_back_gives_the_plan_back(case: tuple[ClassRecord, int, tuple[str, ...], int]) -> None:
    """Whoever was away, once all are back the groups are as they were planned, labels and roles included."""
    mended = repaired(case)
    if mended is None:
        return
    record, lesson, away, _ = case
    assert present(mended.record, lesson, away).record.plan == record.plan


@settings(max_examples=20)
@given(case=absences())
def test_changes_are_the_groups_that_differ(case: tuple[ClassRecord, int, tuple[str, ...], int]) -> None:
    """What is reported as changed is just the groups that are not in both plans."""
    mended = repaired(case)
    if mended is None:
        return
    before, after = case[0].plan, mended.record.plan
    reported = {(c.key, group) for c in mended.changes for group in (*c.before, *c.after)}
    assert reported == {(k, group) for k in before.by_key for group in differing(before, after, k)}


def differing(before: Plan, after: Plan, round_key: object) -> set[object]:
    return {*before.by_key[round_key].groups} ^ {*after.by_key[round_key].groups}  # type: ignore[index]


def test_repair_of_nothing_changes_nothing() -> None:
    """Marking somebody who was never in the groups leaves the plan as it is."""
    record = quick(class_of(8, pairs(), requests=(together("s01", "s02"),)))
    gone = replace(record.roster.by_id["s08"], availability="away")
    record = quick(replace(record, roster=record.roster.with_student(gone)))
    assert absent(record, 1, ("s08",)).changes == ()
