"""The task of each group: from ratings at first, then from what was seen of the groups that its members were in."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from builders import class_of, class_of_eight, key, pairs, with_plan
from hypothesis import given
from hypothesis import strategies as st

from grouper.model.levers import Adaptation, Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import TaskResult
from grouper.model.plan import Group, Plan, Round
from grouper.model.record import ClassRecord
from grouper.model.request import Settings
from grouper.planning.noting import seen
from grouper.tasks.choose import with_result, with_task
from grouper.tasks.rounds import (
    challenge_for,
    lay_out_of_lesson,
    round_tasks,
    success_before,
    task_worked_at,
    tasks_of_round,
)

LADDER = Challenge("Passing", (Lever("task", tuple(Setting(f"Stand {n} steps apart") for n in range(1, 6))),))


def eight(*lines: str, strand: str = "passing") -> ClassRecord:
    """The class of eight in pairs, a round a line; ratings 1 1 2 2 3 3 4 5 from ana to hana."""
    record = class_of_eight(pairs(len(lines), strand=strand))
    return replace(with_plan(record, *lines), challenges=(LADDER,))


FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"


def steps(record: ClassRecord, round_: int) -> list[int]:
    return [task.at[0] for task in tasks_of_round(record, key(1, 1, round_)).values()]


def test_steps_lie_evenly_over_the_range_of_the_class() -> None:
    """On paper: five steps on ratings 1 to 5, so that step and average are the same; 4.5 goes to the easier of two."""
    record = eight(FOUR_PAIRS)
    assert steps(record, 1) == [1, 2, 3, 4]


def test_the_harder_the_share_that_is_wanted_the_easier_the_step() -> None:
    """With 0.95 wanted all steps are lower or the same, and some are lower."""
    record = eight(FOUR_PAIRS)
    careful = replace(record, settings=Settings(success=0.95))
    assert all(low <= high for low, high in zip(steps(careful, 1), steps(record, 1), strict=True))
    assert sum(steps(careful, 1)) < sum(steps(record, 1))


def test_who_is_not_rated_and_a_class_without_ratings_stand_in_the_middle() -> None:
    """The middle of five steps is the third."""
    record = class_of(6, pairs())
    record = replace(with_plan(record, "s01 s02 | s03 s04 | s05 s06"), challenges=(LADDER,))
    assert steps(record, 1) == [3, 3, 3]
    assert all(task.rating is None for task in tasks_of_round(record, key(1)).values())


def test_a_group_moves_with_what_was_seen_of_its_members() -> None:
    """Ten of ten moves ana and ben up, none of ten moves eva and fin down; the others stay between, moved by as much as
    the activity is held to be easier or harder for all."""
    record = eight(FOUR_PAIRS, FOUR_PAIRS)
    groups = (("ana", "ben"), ("cem", "dia"), ("eva", "fin"), ("gil", "hana"))
    before = [ability(record, group) for group in groups]
    record = seen(record, TaskResult(key(1), "1", hits=10, tries=10, at=(1,)))
    record = seen(record, TaskResult(key(1), "3", hits=0, tries=10, at=(3,)))
    up, other, down, last = (ability(record, group) - was for group, was in zip(groups, before, strict=True))
    assert up > other + 0.1 and down < other - 0.4 and other == pytest.approx(last)
    assert steps(record, 2)[2] < steps(record, 1)[2]


def test_what_is_known_goes_with_the_students_to_new_groups() -> None:
    """Ana's first group moves up by some; in her next, with one of whom nothing is known, half of that is left;
    what the whole class is held to find easier comes to all alike."""
    lines = ("ana cem | ben dia | eva gil | fin hana", "ana dia | ben cem | eva fin | gil hana")
    before = eight(*lines)
    after = seen(before, TaskResult(key(1), "1", hits=9, tries=10, at=(2,)))
    moved = ability(after, ("ana", "cem")) - ability(before, ("ana", "cem"))
    common = ability(after, ("eva", "fin")) - ability(before, ("eva", "fin"))
    assert moved > common + 0.1
    for group in (("ana", "dia"), ("ben", "cem")):
        assert ability(after, group) - ability(before, group) - common == pytest.approx((moved - common) / 2)


def ability(record: ClassRecord, members: tuple[str, ...]) -> float:
    """Where a group stands when the second round begins."""
    success = success_before(record, key(1, 1, 2))
    assert success
    return float(success.expect(members, [(3,)])[0][0])


def test_the_reason_names_the_last_result_of_each_member() -> None:
    """Of two who were in different groups each has a last result, the latest first, and others have none."""
    record = eight("ana cem | ben dia | eva gil | fin hana", "cem dia | ana ben | eva fin | gil hana", FOUR_PAIRS)
    record = seen(record, TaskResult(key(1), "1", "easy", at=(2,)))
    record = seen(record, TaskResult(key(1, 1, 2), "1", "hard", at=(3,)))
    tasks = tasks_of_round(record, key(1, 1, 3))
    assert [(s.result.felt, s.at, s.members) for s in tasks["1"].seen] == [("easy", (2,), ("ana",))]
    assert tasks["1"].unseen == ("ben",)
    assert [(s.result.felt, s.at, s.members) for s in tasks["2"].seen] == [("hard", (3,), ("cem", "dia"))]
    assert tasks["3"].seen == ()


def test_results_of_the_round_itself_and_later_ones_change_nothing() -> None:
    """What stood on a card is still said of it afterwards."""
    record = eight(FOUR_PAIRS, FOUR_PAIRS, FOUR_PAIRS)
    before = tasks_of_round(record, key(1, 1, 2))
    record = seen(record, TaskResult(key(1, 1, 2), "1", "hard"))
    record = seen(record, TaskResult(key(1, 1, 3), "2", "easy"))
    assert tasks_of_round(record, key(1, 1, 2)) == before


def test_a_result_without_a_step_counts_for_the_step_on_the_card() -> None:
    """It is as if the suggested step had been entered with it."""
    record = eight(FOUR_PAIRS, FOUR_PAIRS)
    card = task_worked_at(record, key(1), "3")
    bare = seen(record, TaskResult(key(1), "3", hits=9, tries=10))
    full = seen(record, TaskResult(key(1), "3", hits=9, tries=10, at=card))
    assert [t.expected for t in tasks_of_round(bare, key(1, 1, 2)).values()] == [
        t.expected for t in tasks_of_round(full, key(1, 1, 2)).values()
    ]


def test_the_same_share_at_a_harder_step_says_more() -> None:
    """Eight of ten at step 4 moves further up than at step 2."""
    record = eight(FOUR_PAIRS, FOUR_PAIRS)
    at = {
        step: tasks_of_round(seen(record, TaskResult(key(1), "3", hits=8, tries=10, at=(step,))), key(1, 1, 2))["3"]
        for step in (2, 4)
    }
    assert (at[4].at, at[4].expected) > (at[2].at, at[2].expected)


def test_results_of_other_activities_say_nothing() -> None:
    """A result at an activity with another name moves nobody on this ladder."""
    record = class_of_eight(pairs(1, "Running", strand="passing"), pairs(1, strand="passing"))
    record = replace(with_plan(record, FOUR_PAIRS, FOUR_PAIRS), challenges=(LADDER,))
    before = tasks_of_round(record, key(1, 2))
    assert tasks_of_round(seen(record, TaskResult(key(1, 1), "1", "easy")), key(1, 2)) == before
    assert tasks_of_round(record, key(1, 1)) == {}
    assert challenge_for(record, key(1, 1)) is None


@given(st.lists(st.sampled_from(("easy", "hard")), min_size=1, max_size=8))
def test_steps_stay_on_the_ladder_and_come_back_from_its_ends(words: list[str]) -> None:
    """After any run of words all steps are on the ladder; two words to the other side change what is expected."""
    count = len(words) + 2
    record = eight(*[FOUR_PAIRS] * (count + 1))
    for round_, word in enumerate([*words, *[("hard" if words[-1] == "easy" else "easy")] * 2], start=1):
        for label in ("1", "2", "3", "4"):
            record = seen(record, TaskResult(key(1, 1, round_), label, word))
    all_steps = [steps(record, round_) for round_ in range(1, count + 2)]
    assert all(1 <= step <= 5 for round_steps in all_steps for step in round_steps)
    success = [success_before(record, key(1, 1, round_)) for round_ in (len(words) + 1, count + 1)]
    for members, at in ((("ana", "ben"), all_steps[-2][0]), (("gil", "hana"), all_steps[-2][3])):
        then, now = (each.share(members, (at,)) for each in success if each)
        assert now < then if words[-1] == "easy" else now > then


def test_it_is_the_same_in_any_order_of_the_roster() -> None:
    """Steps and reasons do not depend on the order of students."""
    record = seen(eight(FOUR_PAIRS, FOUR_PAIRS), TaskResult(key(1), "2", "easy"))
    turned = replace(record.roster, students=record.roster.students[::-1])
    assert tasks_of_round(replace(record, roster=turned), key(1, 1, 2)) == tasks_of_round(record, key(1, 1, 2))


def test_an_activity_without_a_strand_goes_by_the_only_one_there_is() -> None:
    """A class with one strand needs none named."""
    assert steps(eight(FOUR_PAIRS, strand=""), 1) == steps(eight(FOUR_PAIRS), 1)


def test_a_group_that_is_no_more_says_nothing() -> None:
    """Results whose group was planned away are left alone."""
    record = eight(FOUR_PAIRS, FOUR_PAIRS)
    ghost = replace(record, results=(TaskResult(key(1), "9", "easy"),))
    assert steps(ghost, 2) == steps(record, 2)


BALLS = Lever("ball", (Setting("large", "", (Needed("large ball"),)), Setting("small", "", (Needed("small ball"),))))


def test_a_lesson_is_laid_out_for_the_round_that_takes_most() -> None:
    """Of each thing the most that a round needs at once, and no round more than is in the cupboard."""
    record = replace(eight(FOUR_PAIRS, FOUR_PAIRS), challenges=(Challenge("Passing", (*LADDER.levers, BALLS)),))
    rounds = [dict(round_tasks(record, key(1, 1, number)).lay_out) for number in (1, 2)]
    assert all(sum(each.values()) == 4 for each in rounds)
    most = {item: max(each.get(item, 0) for each in rounds) for item in {*rounds[0], *rounds[1]}}
    assert dict(lay_out_of_lesson(record, 1)) == most
    few = replace(record, cupboard=(Store("large ball", 1), Store("small ball", 3)))
    assert all(dict(round_tasks(few, key(1, 1, n)).lay_out) == {"large ball": 1, "small ball": 3} for n in (1, 2))
    short = round_tasks(replace(record, cupboard=(Store("large ball", 1), Store("small ball", 2))), key(1)).short
    assert sum(each.missing for each in short) == 1


def test_after_the_swap_the_other_one_has_a_task_of_their_own() -> None:
    """By their own rating, and never the sum of both at the cupboard: at any time one of a pair is at work."""
    record = class_of_eight(pairs(1, aim="coaching", strand="passing"))
    groups = (Group("1", ("ana", "hana"), ("learner", "coach")), Group("2", ("ben", "gil"), ("learner", "coach")))
    record = replace(record, plan=Plan((Round(key(1), groups, groups),)), challenges=(Challenge("Passing", (BALLS,)),))
    record = replace(record, cupboard=(Store("large ball", 2), Store("small ball", 1)))
    tasks = tasks_of_round(record, key(1))
    assert [each.student for task in tasks.values() for each in task.swapped] == ["hana", "gil"]
    for ats in ([t.at for t in tasks.values()], [s.at for t in tasks.values() for s in t.swapped]):
        assert ats.count((2,)) <= 1


def two_ways(large: int, small: int) -> ClassRecord:
    """Pairs with a ladder and two kinds of balls, so many of each, and cards that offer two ways."""
    challenge = Challenge("Passing", (*LADDER.levers, BALLS), two_ways=True)
    record = replace(eight(FOUR_PAIRS, FOUR_PAIRS), challenges=(challenge,))
    return replace(record, cupboard=(Store("large ball", large), Store("small ball", small)))


@pytest.mark.parametrize(("large", "small"), [(9, 9), (4, 4), (3, 2), (2, 3), (1, 3)])
def test_a_card_with_two_ways_has_enough_of_everything_whichever_is_taken(large: int, small: int) -> None:
    """All sixteen ways to choose are tried; the two differ by one lever, and the task is what it was with one way."""
    record = two_ways(large, small)
    tasks = tasks_of_round(record, key(1))
    (challenge,) = record.challenges
    alone = tasks_of_round(replace(record, challenges=(replace(challenge, two_ways=False),)), key(1))
    assert {label: task.at for label, task in tasks.items()} == {label: task.at for label, task in alone.items()}
    pairs_of_ways = [(task.at, task.other or task.at) for task in tasks.values()]
    assert all(task.other for task in tasks.values()), "a step of the ladder needs nothing"
    assert all(sum(a != b for a, b in zip(*ways, strict=True)) == 1 for ways in pairs_of_ways)
    laid_out = dict(round_tasks(record, key(1)).lay_out)
    for taken in product(*pairs_of_ways):
        balls = [at[1] for at in taken]
        assert balls.count(1) <= min(large, laid_out.get("large ball", 0))
        assert balls.count(2) <= min(small, laid_out.get("small ball", 0))


def test_what_children_chose_is_what_they_had_then() -> None:
    """The card has the same two ways; the result is of the one they took, and so is what later tasks rest on."""
    record = two_ways(9, 9)
    task = tasks_of_round(record, key(1))["4"]
    chosen = with_task(record, key(1), "4", task.other)
    now = tasks_of_round(chosen, key(1))["4"]
    assert (now.at, now.other, now.card) == (task.other, task.at, task.card)
    result = with_result(chosen, TaskResult(key(1), "4", hits=9, tries=10)).results[0]
    assert result.at == task.other
    later = tasks_of_round(with_result(chosen, result), key(1, 1, 2))["4"]
    assert later.had == (task.other,) and later.seen[0].at == task.other


def test_who_always_has_something_is_offered_no_way_without_it() -> None:
    """Neither of the two ways of ana's group has the small ball."""
    record = replace(two_ways(9, 9), adaptations=(Adaptation("ana", "always", "large"),))
    task = tasks_of_round(record, key(1))["1"]
    assert task.at[1] == task.other[1] == 1
