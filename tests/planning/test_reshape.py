"""A lesson that is changed: what still is the same activity keeps its groups, and what would be lost is said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, game, games_of, key, pairs, with_plan

from grouper.model.noted import Absence, ChosenTask, Note, TaskResult
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.planning.adjust import pinned
from grouper.planning.admit import admit_unit
from grouper.planning.noting import dropped
from grouper.planning.reshape import rounds_kept

ONE = "ana ben | cem dia | eva fin | gil hana"
TWO = "ana cem | ben dia | eva gil | fin hana"
THREE = "ana dia | ben cem | eva hana | fin gil"
GAME = "ana ben cem dia | eva fin gil hana"
PLAY = Activity("Game", groups=2)


def lesson() -> ClassRecord:
    """Three rounds in pairs and a game; of the third round and the game all kinds of things are noted."""
    record = with_plan(class_of_eight(pairs(3), PLAY), ONE, TWO, THREE, GAME)
    third = key(1, 1, 3)
    noted = replace(
        record,
        results=(TaskResult(third, "2", "hard"),),
        chosen_tasks=(ChosenTask(third, "1", (2,), ("ana", "dia")),),
        events=(games_of(1, "Game", ("1", "2"), 1, (game(1, 1, 1, 2),)),),
        notes=(Note(1, 0, "wet"), Note(1, 3, "loud")),
        absences=(Absence(1, "ana", "away", 3), Absence(1, "ben", "away", 1, "late", 2)),
    )
    return pinned(noted, 1, 3)


def changed(*activities: Activity, date: str = "") -> ClassRecord:
    """With other activities, or another date."""
    return admit_unit(lesson(), Unit((Lesson(1, activities, date),)))


def test_other_words_cost_nothing() -> None:
    """A new name, minutes, a caution and a date: groups, pins, results, choices, games and notes are there."""
    words = replace(pairs(3, name="Catching"), minutes=5.0, caution="none")
    record = changed(words, replace(PLAY, name="Cup"), date="2031-02-28")
    assert record.plan == lesson().plan
    assert (record.results, record.chosen_tasks, record.notes, record.absences) == (
        lesson().results, lesson().chosen_tasks, lesson().notes, lesson().absences,
    )  # fmt: skip
    assert record.games == (replace(lesson().games[0], activity="Cup"),)
    assert list(map(str, dropped(lesson(), record))) == []


def test_an_activity_before_takes_all_along() -> None:
    """Two rounds of warming up come first: everything is two rounds later, and who is away from 3 is so from 5."""
    record = changed(Activity("Warm up", size=4, rounds=2), pairs(3), PLAY)
    third = key(1, 2, 3)
    assert [round_.groups for round_ in record.plan.rounds] == [round_.groups for round_ in lesson().plan.rounds]
    assert [round_.key for round_ in record.plan.rounds] == [key(1, 2, 1), key(1, 2, 2), third, key(1, 3, 1)]
    assert record.plan.by_key[third].pinned
    assert (record.results[0].key, record.chosen_tasks[0].key) == (third, third)
    assert record.notes == (Note(1, 0, "wet"), Note(1, 5, "loud"))
    assert record.absences == (Absence(1, "ana", "away", 5), Absence(1, "ben", "away", 1, "late", 4))
    assert list(map(str, dropped(lesson(), record))) == []


def test_a_round_more_is_one_without_groups() -> None:
    """The others stay; it waits for the next plan."""
    record = changed(pairs(4), PLAY)
    assert set(record.unit.keys) - set(record.plan.by_key) == {key(1, 1, 4)}
    assert list(map(str, dropped(lesson(), record))) == []


def test_a_round_less_says_what_went_with_it() -> None:
    """The third round goes with its pin, its result, its choice and its note; the game stays."""
    record = changed(pairs(2), PLAY)
    assert [round_.groups for round_ in record.plan.rounds] == [lesson().plan.rounds[at].groups for at in (0, 1, 3)]
    assert list(map(str, dropped(lesson(), record))) == [
        "How the task went for group 2 in lesson 1, round 3 is dropped, as that round has no groups any more.",
        "The task chosen for group 1 in lesson 1, round 3 is dropped, as that round has no groups any more.",
        "The pinned groups of lesson 1, round 3 are gone.",
        "The note on round 3 of lesson 1 is dropped with it: loud",
    ]
    assert record.absences[0] == Absence(1, "ana", "away", 3), "gone before the game"


def test_another_size_takes_the_groups_and_leaves_who_is_away() -> None:
    """In fours there are other groups; who is away from round 3 on is away."""
    record = changed(Activity("Passing", size=4, rounds=3), PLAY)
    assert [round_.key for round_ in record.plan.rounds] == [key(1, 2, 1)]
    assert record.absences == lesson().absences and record.notes == lesson().notes


def test_a_lesson_that_goes_says_who_was_away() -> None:
    """With all that was noted of it."""
    lines = list(map(str, dropped(lesson(), admit_unit(lesson(), Unit(())))))
    assert lines[-1] == "What was said of who is away in lesson 1 is dropped: Ana and Ben."
    assert "The note on lesson 1 is dropped with it: wet" in lines


def test_groups_stay_only_with_those_that_they_stayed_with() -> None:
    """A round that keeps the groups before it is another one where another activity comes before it."""
    on = Activity("On", aim="stay")
    before = Unit((Lesson(1, (pairs(1), on)),))
    assert rounds_kept(before, Unit((Lesson(1, (pairs(1, name="Catching"), on)),)))[key(1, 2)] == key(1, 2)
    assert key(1, 2) not in rounds_kept(before, Unit((Lesson(1, (pairs(1), PLAY, on)),)))


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_activities_of_one_shape_are_told_apart_by_name(order: tuple[int, ...]) -> None:
    """Three activities in pairs in another order: each keeps its own groups."""
    names = [pairs(1, name=name) for name in ("A", "B", "C")]
    kept = rounds_kept(Unit((Lesson(1, tuple(names)),)), Unit((Lesson(1, tuple(names[at] for at in order)),)))
    assert kept == {RoundKey(1, old + 1, 1): RoundKey(1, place, 1) for place, old in enumerate(order, start=1)}
