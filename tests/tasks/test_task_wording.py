"""Reasons and handicaps in words: one line, and the right team."""

from __future__ import annotations

from dataclasses import replace
from math import exp
from random import Random

import pytest
from builders import pairs, record_of, roster_of

from grouper.faces.page.screens.tasks import tasks_view
from grouper.faces.views.tasks_of_class import moves_lines
from grouper.faces.wording.tasks import (
    effects_in_words,
    handicap_in_words,
    play_in_words,
    reason_in_words,
    short_in_words,
    step_in_words,
    way_in_words,
)
from grouper.model.levers import At, Challenge, Lever, Setting
from grouper.model.noted import TaskResult
from grouper.model.unit import RoundKey
from grouper.planning.noting import seen
from grouper.planning.plan import plan_unit
from grouper.tasks.choose import Way
from grouper.tasks.fitting import Short
from grouper.tasks.handicap import Handicap, Play
from grouper.tasks.rounds import GroupTask
from grouper.tasks.success import Effect, Seen

LADDER = Challenge("Passing", (Lever("task", tuple(Setting(f"{n} steps apart") for n in range(1, 7))),))
NAMES = {"a": "Ana", "b": "Ben", "c": "Cem", "d": "Dia"}


def task(*seen: Seen, unseen: tuple[str, ...] = (), rating: float | None = 3.25, strand: str = "skill") -> GroupTask:
    return GroupTask("1", LADDER, (2,), "Two steps apart", 0.7, strand, rating, seen=seen, unseen=unseen)


def result(round_: int, felt: str = "", hits: int | None = None, tries: int | None = None) -> TaskResult:
    return TaskResult(RoundKey(1, 1, round_), "1", felt, hits, tries)


def test_a_group_that_was_together_has_the_short_reason() -> None:
    """No names are needed where all members were in it."""
    whole = Seen(result(1, hits=7, tries=10), (2,), ("a", "b"))
    assert reason_in_words(task(whole), NAMES) == "7 of 10 at step 2 last time; about 70% expected"


def test_members_of_several_groups_are_named() -> None:
    """Each result with whom it was seen of, and who has none."""
    two = (Seen(result(2, "hard"), (3,), ("b", "c")), Seen(result(1, "easy"), (1,), ("a",)))
    said = reason_in_words(task(*two, unseen=("d",)), NAMES)
    assert said == (
        "too hard at step 3 last time (Ben and Cem); too easy at step 1 last time (Ana); Dia: nothing seen yet; "
        "about 70% expected"
    )


def test_without_results_the_reason_is_what_it_starts_from() -> None:
    """The rating, that nobody is rated, or that the activity goes by no rating."""
    assert reason_in_words(task(), NAMES) == "nothing seen yet, skill 3.25 on average; about 70% expected"
    assert "nobody is rated in skill" in reason_in_words(task(rating=None), NAMES)
    assert "goes by no rating" in reason_in_words(task(rating=None, strand=""), NAMES)


def test_the_start_goes_to_whom_it_is_meant_for() -> None:
    """Above 0 to the weaker team, below 0 to the stronger, and none where none is needed."""
    play, zoned = Play(11, timed=False), Play(20, timed=True, zone=0.3)
    assert handicap_in_words("2", "1", Handicap(3, 0.25, 0.51), play).startswith("2 - 1: team 2 starts with 3 points (")
    assert "team 1 starts with 1 point, zone for team 2 (" in handicap_in_words("2", "1", Handicap(-1, 0.5, 0.5), zoned)
    assert "no start needed" in handicap_in_words("2", "1", Handicap(0, 0.5, 0.5), play)
    assert "no start, zone for team 2 (" in handicap_in_words("2", "1", Handicap(0, 0.4, 0.5), zoned)
    assert play_in_words(play) == "games to 11 points"
    assert "30% of the weaker team's points" in play_in_words(zoned)


BALL = Lever("ball", (Setting("large"), Setting("small")), "equipment")
DISTANCE = Lever("distance", (Setting("near"), Setting("half way"), Setting("far")), "space")
TWO = Challenge("Passing", (BALL, DISTANCE))


def of_two(at: At, *had: At, suggested: At | None = None) -> GroupTask:
    return GroupTask("1", TWO, at, "", 0.7, "skill", 3.0, had=had, suggested=suggested)


def test_what_is_changed_is_said_lever_by_lever() -> None:
    """From what all at work had; where they had different tasks or none there is nothing to compare with."""
    assert step_in_words(of_two((1, 2))) == "to begin with"
    assert step_in_words(of_two((2, 2), (1, 2))) == "changed: ball large \u2192 small"
    assert step_in_words(of_two((2, 2), (2, 2))) == "as before"
    assert step_in_words(of_two((2, 2), (1, 2), (1, 1))) == "they had different tasks before"
    assert (
        step_in_words(of_two((2, 2), (2, 2), suggested=(2, 3))) == "as before, your choice; distance far is suggested"
    )


def test_a_way_a_clash_and_the_strongest_lever_are_said_in_a_line() -> None:
    """What to fetch, what to expect, what is missing, and how sure it is."""
    way = Way("ball", "small", (2, 2), "small ball", 0.64, (("small ball", 1),), (("large ball", 1),), False)
    assert way_in_words(way) == (
        "ball small (fetch 1 × small ball; put back 1 × large ball; not enough in the cupboard; about 64%)"
    )
    assert short_in_words(Short("goal", 4, 2)).startswith("2 more 'goal' would be needed, and there are 4; ")
    sure, unsure = Effect("ball", 1.2, 0.3, 0.93), Effect("distance", 0.9, 0.4, 0.6)
    assert next(effects_in_words((sure, unsure), 5)).startswith("ball moves this class most: from end to end 85% ")
    assert "Not clear yet" in next(effects_in_words((unsure, sure), 5))
    assert "Nothing seen yet" in next(effects_in_words((unsure, sure), 0))


@pytest.mark.parametrize("strongest", ["distance", "ball", "hand"])
def test_by_lesson_three_the_lever_that_moves_this_class_most_is_said(strongest: str) -> None:
    """After two lessons of results in which one lever moves far more than the others: in the terminal and on the page.

    Before any result nobody is told; where the three move alike it is said not to be clear.
    """
    names = ("distance", "ball", "hand")

    def told(rises: dict[str, float]) -> str:
        random = Random(7)
        levers = tuple(Lever(name, tuple(Setting(f"{name} {k}") for k in (1, 2, 3))) for name in names)
        record = record_of(roster_of(24, [3.0] * 24), pairs(3, aim="fresh"), lessons=3)
        record = replace(plan_unit(record, effort="quick").record, challenges=(Challenge("Passing", levers),))
        for round_ in record.plan.rounds[:6]:
            for group in round_.groups:
                at = tuple(random.randint(1, 3) for _ in names)
                asked = sum(rises[name] * (place - 2) for name, place in zip(names, at, strict=True))
                chance = 1 / (1 + exp(asked - 0.8))
                hits = sum(random.random() < chance for _ in range(10))
                record = seen(record, TaskResult(round_.key, group.label, hits=hits, tries=10, at=at))
        (line,) = moves_lines(record)
        (shown,) = (one.moves for one in tasks_view(record, (), 3).activities)
        assert line == f"Passing: {shown[0]}"
        return line

    uneven = {name: 1.4 if name == strongest else 0.3 for name in names}
    assert f"Passing: {strongest} moves this class most" in told(uneven)
    assert "Not clear yet" in told(dict.fromkeys(names, 0.7))
