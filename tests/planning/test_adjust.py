"""What a teacher decides by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import apart, class_of_eight, groups, hasty, key, pairs, with_plan

from grouper.errors import InputError
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import moved, pinned, reopened, swapped, taught, with_other_groups
from grouper.planning.attend import absent
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import parted
from grouper.planning.repair import repair

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHERS = "ana cem | ben dia | eva gil | fin hana"
OTHER = "ana dia gil | ben eva hana | cem fin"


def two_lessons(*asked: Request) -> ClassRecord:
    return with_plan(class_of_eight(pairs(), lessons=2, requests=asked), FOUR_PAIRS, OTHERS)


def test_swap_changes_two_groups_and_pins_them() -> None:
    """Ben and cem swap: ana is with cem, dia with ben, and planning leaves the round."""
    swap = swapped(two_lessons(), 1, "ben", "cem")
    assert swap.record.plan.rounds[0].groups == groups("ana cem | ben dia | eva fin | gil hana")
    assert swap.record.plan.rounds[0].pinned
    assert swap.record.plan.rounds[1] == two_lessons().plan.rounds[1]


def test_swap_says_what_it_breaks() -> None:
    """A swap that puts two together who are to be apart is made, with a word on it and on the repeats."""
    record = replace(two_lessons(), requests=(apart("ana", "cem", 1, 1),))
    broken = [str(one) for one in swapped(record, 1, "ben", "cem").breaks]
    assert any("Ana and Cem are to be kept apart" in sentence for sentence in broken)
    assert any(sentence.startswith("2 more") for sentence in broken)


def test_swap_that_breaks_nothing_says_nothing() -> None:
    """Ana with fin and ben with eva meet nowhere else."""
    assert swapped(two_lessons(), 1, "ben", "fin").breaks == ()


def test_one_moves_to_a_group_that_is_one_short() -> None:
    """Of a three and a pair the three can spare one; the round is pinned, other rounds are as they were."""
    threes = Activity("Threes", size=3, rounds=2)
    record = with_plan(class_of_eight(threes), "ana ben cem | dia eva fin | gil hana", OTHER)
    made = moved(record, 1, "cem", "3", 1)
    assert made.record.plan.rounds[0].groups == groups("ana ben | dia eva fin | gil hana cem")
    assert made.record.plan.rounds[0].pinned and made.record.plan.rounds[1] == record.plan.rounds[1]
    for student, label in (("gil", "1"), ("ana", "2"), ("ana", "1"), ("ana", "9")):
        with pytest.raises(InputError, match="cannot move"):
            moved(record, 1, student, label, 1)
    with pytest.raises(InputError, match="taught"):
        moved(taught(record, 1), 1, "cem", "3", 1)


def test_who_goes_to_the_group_that_they_were_planned_in_stays_in_it_as_planned() -> None:
    """A repair took cem to group 1; back in group 3 by hand, cem is still planned there, and nowhere twice."""
    threes = Activity("Threes", size=3)
    record = with_plan(class_of_eight(threes), "ana ben cem | dia eva fin | gil hana")
    planned = groups("ana ben | dia eva fin | gil cem hana")
    record = replace(record, plan=Plan((replace(record.plan.rounds[0], planned=planned),)))
    assert moved(record, 1, "cem", "3", 1).record.plan.rounds[0].planned == planned


def test_a_move_says_what_it_breaks_and_goes_on_with_the_groups() -> None:
    """A request that it breaks and a new repeat are said; where the same groups go on the student is in the new one."""
    threes = Activity("Threes", size=3)
    unit = Unit((Lesson(1, (threes, Activity("Game", aim="stay"))), Lesson(2, (threes,))))
    people = "ana ben cem | dia eva fin | gil hana"
    record = replace(class_of_eight(threes), unit=unit, requests=(apart("cem", "gil"),))
    record = with_plan(record, people, people, "hana cem fin | ben dia gil | ana eva")
    made = moved(record, 1, "cem", "3", 1)
    assert made.record.plan.rounds[1].as_sets == made.record.plan.rounds[0].as_sets
    assert any("Cem and Gil" in str(sentence) for sentence in made.breaks)
    assert made.repeats == 1  # Cem and Hana meet in lesson 2 too


@pytest.mark.parametrize(("one", "other"), [("ana", "ben"), ("ana", "ana")])
def test_nothing_to_swap(one: str, other: str) -> None:
    """Two of one group have nothing to swap."""
    with pytest.raises(InputError, match="swap"):
        swapped(two_lessons(), 1, one, other)


def test_past_is_not_swapped() -> None:
    """A taught lesson stays."""
    with pytest.raises(InputError, match="taught"):
        swapped(taught(two_lessons(), 1), 1, "ben", "cem")


def test_taught_lesson_stays_when_the_rest_is_planned_anew() -> None:
    """Planning again leaves what was taught, as it really ran, roles and labels included."""
    ran = {key(1): groups("ana ben cem | dia eva | fin gil hana")}
    record = taught(two_lessons(), 1, ran)
    planned = hasty(record)
    assert planned.plan.rounds[0] == record.plan.rounds[0]
    assert planned.plan.rounds[0].groups == ran[key(1)]


def test_pinned_round_stays_when_the_rest_is_planned_anew() -> None:
    """Planning again leaves a pinned round, and a round that is let go is planned."""
    record = pinned(two_lessons(), 2, None)
    assert hasty(record).plan.rounds[1] == record.plan.rounds[1]
    assert not any(round_.pinned for round_ in pinned(record, 2, 1, pin=False).plan.rounds)


def test_taught_can_be_taken_back_once() -> None:
    """A lesson marked by mistake is opened again; one that is not marked cannot be."""
    record = taught(two_lessons(), 1)
    assert reopened(record, 1) == two_lessons()
    with pytest.raises(InputError):
        reopened(two_lessons(), 1)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda record: taught(record, 3),
        lambda record: taught(taught(record, 1), 1),
        lambda record: taught(record, 1, {key(2): groups(FOUR_PAIRS)}),
        lambda record: taught(record, 1, {key(1): groups("ana ben | ana cem")}),
        lambda record: pinned(record, 1, 2),
        lambda record: pinned(record, 9, None),
        lambda record: taught(class_of_eight(pairs()), 1),
    ],
)
def test_what_makes_no_sense_is_refused(wrong) -> None:  # type: ignore[no-untyped-def]
    """No such lesson, no such round, taught already, groups of another lesson, somebody twice, no plan."""
    with pytest.raises(InputError):
        wrong(two_lessons())


def with_a_lesson_to_come(record: ClassRecord) -> ClassRecord:
    """A lesson more that has no groups yet."""
    return replace(record, unit=Unit((*record.unit.lessons, Lesson(3, (pairs(),)))))


def test_a_lesson_without_groups_is_in_nobodys_way() -> None:
    """Swapping, parting, fewer groups and absence work on the lessons that have groups; the new one has none still."""
    record = with_a_lesson_to_come(two_lessons())
    for after in (
        swapped(record, 1, "ben", "cem").record,
        parted(record, 1, "ana", "ben"),
        repair(with_other_groups(record, 1, "Passing", 3, None)).record,
        absent(record, 1, ("ana", "ben")).record,
    ):
        assert after.plan.rounds != record.plan.rounds
        assert after.plan.of_lesson(3) == ()
        assert after.unit.lessons[2] == record.unit.lessons[2]


def test_groups_that_stayed_are_measured_without_the_lesson_that_they_come_from() -> None:
    """Only lesson 2 was taught, and its groups stay from lesson 1: its fairness alone is told."""
    stay = Lesson(2, (Activity("Game", aim="stay"),))
    record = class_of_eight(pairs())
    record = replace(record, unit=Unit((*record.unit.lessons, stay)))
    record = replace(with_plan(record, FOUR_PAIRS, FOUR_PAIRS), taught=frozenset({2}))
    alone = replace(record, unit=Unit((stay,)), plan=replace(record.plan, rounds=record.plan.of_lesson(2)))
    assert fairness_of(alone).repeats == 0
