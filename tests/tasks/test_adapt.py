"""What is kept for one child: in every task of theirs, on no list that students see, and no reason with it."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from builders import class_of_eight, key, pairs, with_plan

from grouper.errors import InputError
from grouper.faces.views.tasks_of_class import adaptation_in_words
from grouper.model.levers import Adaptation, Challenge, Lever, Setting
from grouper.model.plan import Group, Round
from grouper.model.play import STATIONS, Event
from grouper.model.record import ClassRecord
from grouper.model.tags import with_ids
from grouper.model.unit import Activity
from grouper.planning.adjust import swapped
from grouper.planning.attend import absent
from grouper.tasks.adapt import adapted, bears_on, is_meant, kept_from, not_adapted
from grouper.tasks.choose import ways, with_task
from grouper.tasks.rounds import tasks_of_round

BALL = Lever(
    "ball", (Setting("large", "with the large soft ball"), Setting("small", "with the small ball")), "equipment"
)
MOVE = Lever("movement", (Setting("standing"), Setting("walking"), Setting("hopping", "hop on one foot")), "movement")
HAND = Lever("hand", (Setting("both hands"), Setting("one hand"), Setting("other hand")), "action")
CHALLENGE = Challenge("Passing", (BALL, MOVE, HAND))
PAIRS = ("ana ben | cem dia | eva fin | gil hana", "ana cem | ben dia | eva gil | fin hana")


def klass(*kept: Adaptation) -> ClassRecord:
    record = replace(with_plan(class_of_eight(pairs(rounds=2)), *PAIRS), challenges=(CHALLENGE,))
    return adapted(record, kept)


ALWAYS, NEVER, ALSO = (
    Adaptation("hana", "always", "the large ball"),
    Adaptation("gil", "never", "hopping"),
    Adaptation("hana", "also", "seated"),
)


def test_what_is_kept_is_in_every_task_of_the_child_and_of_nobody_else() -> None:
    """Whoever hana works with, the ball is large and the words are there; what others have is as it was."""
    record, bare = klass(ALWAYS, NEVER, ALSO), klass()
    for round_ in (1, 2):
        tasks, before = (tasks_of_round(each, key(1, 1, round_)) for each in (record, bare))
        own = tasks["4"]
        assert own.at[0] == 1 and own.task.endswith("Seated.") and "hana" in own.adapted
        assert all("Seated" not in tasks[label].task for label in "123")
        assert tasks["1"] == before["1"]
    assert all(tasks_of_round(record, key(1, 1, round_))[label].at[1] != 3 for round_, label in ((1, "4"), (2, "3")))


def test_it_is_kept_when_groups_are_mended_and_changed() -> None:
    """Somebody is away, two change places: it goes with the child."""
    record = klass(ALWAYS, ALSO)
    for changed in (absent(record, 1, ("gil",)).record, swapped(record, 1, "hana", "ana", 1).record):
        for round_ in changed.plan.rounds:
            tasks = tasks_of_round(changed, round_.key)
            group = round_.group_of("hana")
            assert group and tasks[group.label].at[0] == 1 and "Seated" in tasks[group.label].task


def test_no_way_to_change_a_task_offers_what_is_not_right() -> None:
    """Harder for hana and gil is another hand or movement, not the small ball and no hopping."""
    record = with_task(klass(ALWAYS, NEVER), key(1), "4", (1, 2, 1))
    assert [(way.lever, way.setting) for way in ways(record, key(1), "4", harder=True)] == [("hand", "one hand")]


def test_in_a_coaching_pair_it_is_the_learners_task_and_then_the_others() -> None:
    """Hana's words are on her own task, after the swap too, and not on that of her coach."""
    record = replace(
        klass(ALSO), unit=class_of_eight(Activity("Passing", size=2, aim="coaching", strand="passing")).unit
    )
    groups = (Group("1", ("gil", "hana"), ("coach", "learner")), Group("2", ("eva", "fin"), ("coach", "learner")))
    plan = record.plan.with_rounds({key(1): Round(key(1), groups, groups)})
    task = tasks_of_round(replace(record, plan=plan), key(1))["1"]
    assert task.learners == ("hana",) and "Seated" in task.task
    (after,) = task.swapped
    assert after.student == "gil" and "Seated" not in after.task


@pytest.mark.parametrize(
    ("what", "setting", "meant"),
    [
        ("the large ball", BALL.settings[0], True),
        ("large ball", BALL.settings[1], False),
        ("hopping", MOVE.settings[2], True),
        ("hop", MOVE.settings[2], True),
        ("hopping", Setting("hoop"), False),
        ("one hand", HAND.settings[1], True),
        ("one hand", HAND.settings[2], False),
        ("", HAND.settings[0], False),
    ],
)
def test_a_setting_is_meant_by_its_words(what: str, setting: Setting, meant: bool) -> None:
    """In any form of them, little words aside."""
    assert is_meant(what, setting) is meant


def test_it_is_taken_off_again_one_by_one_or_all() -> None:
    """And what is not there is said with what is."""
    record = klass(ALWAYS, NEVER, ALSO)
    assert not_adapted(record, "hana", "Seated").adaptations == (NEVER, ALWAYS)
    assert not_adapted(record, "hana").adaptations == (NEVER,)
    with pytest.raises(InputError, match="'swimming' is not kept for Gil; there is never hopping"):
        not_adapted(record, "gil", "swimming")
    with pytest.raises(InputError, match="no student"):
        adapted(record, [Adaptation("nobody", "also", "seated")])


def test_a_station_is_meant_by_number_or_name() -> None:
    """'Not at 4' is station 4, 'not at the rope' that of the ropes."""
    record = klass(Adaptation("ana", "not at", "station 4"), Adaptation("ben", "not at", "ropes"))
    assert kept_from(record, "Bench", 4) == ("ana",) and kept_from(record, "Rope skipping", 2) == ("ben",)
    assert kept_from(record, "Bench", 1) == ()


def test_it_is_told_where_it_bears_on_nothing() -> None:
    """A word that no lever knows is better found out before the lesson."""
    assert bears_on(ALWAYS, CHALLENGE) and bears_on(ALSO, CHALLENGE)
    assert not bears_on(Adaptation("ana", "always", "trampoline"), CHALLENGE)


def test_a_station_that_no_lesson_has_is_told() -> None:
    """Station 4 of three, and 99 of none: kept for a rotation to come, and said to change nothing until then."""
    record = klass()
    four, ropes = Adaptation("ana", "not at", "4"), Adaptation("ana", "not at", "the ropes")
    assert all("no lesson has such a station yet" in adaptation_in_words(record, each) for each in (four, ropes))
    record = record.with_event(Event(STATIONS, ("1", "2", "3"), ("Bench", "Rope skipping", "Mats"), lesson=1))
    assert "no lesson has" in adaptation_in_words(record, four)
    assert adaptation_in_words(record, ropes) == "not at the ropes"
    assert adaptation_in_words(record, replace(four, what="3")) == "not at station 3"


def test_there_is_no_place_for_a_reason_and_it_follows_other_ids() -> None:
    """Who, what kind, what; and the same child under another id is the same child."""
    assert [field.name for field in fields(Adaptation)] == ["student", "kind", "what"]
    assert with_ids(klass(ALSO), {"hana": "x1"}).adaptations == (Adaptation("x1", "also", "seated"),)
