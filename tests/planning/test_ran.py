"""Rounds as they really ran, put right before or after a lesson is closed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, groups, key, pairs, with_plan

from grouper.errors import InputError
from grouper.model.ledger import ledger_of
from grouper.model.noted import Absence
from grouper.model.plan import Group
from grouper.model.record import ClassRecord
from grouper.planning.adjust import taught
from grouper.planning.fairness import fairness_of
from grouper.planning.noting import note_of, noted
from grouper.planning.ran import corrected, had_role, moved, was_away

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHERS = "ana cem | ben dia | eva gil | fin hana"


def two_rounds() -> ClassRecord:
    return with_plan(class_of_eight(pairs(rounds=2)), FOUR_PAIRS, OTHERS)


def test_somebody_who_was_elsewhere_moves_alone() -> None:
    """Ben was with cem and dia; ana was left alone, and all others stay; the plan stays beside it."""
    ran = moved(two_rounds(), key(1, 1, 1), "ben", "2").plan.rounds[0]
    assert ran.groups == groups("ana | cem dia ben | eva fin | gil hana")
    assert ran.planned == groups(FOUR_PAIRS)


def test_a_group_that_nobody_was_in_is_gone() -> None:
    """When ana too goes elsewhere, the first group was not there."""
    record = moved(moved(two_rounds(), key(1, 1, 1), "ben", "2"), key(1, 1, 1), "ana", "3")
    assert [group.label for group in record.plan.rounds[0].groups] == ["2", "3", "4"]


def test_roles_stay_with_those_who_had_them() -> None:
    """Who moves brings no role; the others keep theirs."""
    record = two_rounds()
    first = record.plan.rounds[0]
    coached = (Group("1", ("ana", "ben"), ("coach", "learner")), Group("2", ("cem", "dia"), ("learner", "coach")))
    record = replace(record, plan=record.plan.with_rounds({first.key: replace(first, groups=coached)}))
    assert moved(record, first.key, "ben", "2").plan.rounds[0].groups == (
        Group("1", ("ana",), ("coach",)),
        Group("2", ("cem", "dia", "ben"), ("learner", "coach", "")),
    )


def test_who_was_away_leaves_their_groups_in_those_rounds() -> None:
    """Ana missed the first round of two: attendance says so, and in the second she met cem."""
    record = was_away(two_rounds(), 1, "ana", 1, 1)
    assert record.absences == (Absence(1, "ana", "away", 1, "", 1),)
    assert ledger_of(record.plan.rounds).met("ana", "ben") == 0
    assert ledger_of(record.plan.rounds).met("ana", "cem") == 1
    assert [record.state(record.roster.by_id["ana"], round_.key) for round_ in record.plan.rounds] == ["away", ""]


def test_a_later_word_on_some_rounds_leaves_the_others() -> None:
    """Ana missed all of it; that she was away from the second puts her into no group of the first. A role is another
    absence: she kept the score in the second round of three and was away before and after it."""
    record = was_away(two_rounds(), 1, "ana")
    assert was_away(record, 1, "ana", 2).absences == record.absences == (Absence(1, "ana"),)
    both = was_away(was_away(two_rounds(), 1, "ana", 1, 1), 1, "ana", 2)
    assert both.absences == record.absences
    three = was_away(with_plan(class_of_eight(pairs(rounds=3)), FOUR_PAIRS, OTHERS, FOUR_PAIRS), 1, "ana")
    assert was_away(three, 1, "ana", 2, 2, "scorer").absences == (
        Absence(1, "ana", "aside", 2, "scorer", 2),
        Absence(1, "ana", "away", 1, "", 1),
        Absence(1, "ana", "away", 3),
    )


def test_a_closed_lesson_is_put_right_and_the_ledger_follows() -> None:
    """What ran counts in fairness, whenever it is known: a repeat that was planned is gone, as the two did not meet."""
    closed = taught(with_plan(class_of_eight(pairs(rounds=2)), FOUR_PAIRS, FOUR_PAIRS), 1)
    assert fairness_of(closed).repeats == 4
    right = taught(closed, 1, {key(1, 1, 2): groups(OTHERS)})
    assert fairness_of(right).repeats == 0
    assert right.taught == {1}
    with pytest.raises(InputError, match="taught already"):
        taught(closed, 1)


def test_who_was_there_after_all_is_no_longer_away_in_that_round() -> None:
    """Ana is put into a group of the second round of three: attendance has her away before and after it."""
    record = with_plan(class_of_eight(pairs(rounds=3)), FOUR_PAIRS, OTHERS, FOUR_PAIRS)
    back = moved(was_away(record, 1, "ana"), key(1, 1, 2), "ana", "1")
    assert back.absences == (Absence(1, "ana", "away", 1, "", 1), Absence(1, "ana", "away", 3))
    assert back.plan.rounds[1].groups[0].members == ("cem", "ana")


def test_who_really_coached_is_coach_and_the_other_learnt() -> None:
    """The turn counts for ben and no longer for ana."""
    record = had_role(had_role(two_rounds(), key(1, 1, 1), "ana", "coach"), key(1, 1, 1), "ben", "coach")
    assert record.plan.rounds[0].groups[0] == Group("1", ("ana", "ben"), ("learner", "coach"))
    assert ledger_of(record.plan.rounds).coach_turns == {"ben": 1}


def test_who_stood_aside_has_a_role_without_a_group() -> None:
    """Ana was there in the second round and kept the score."""
    record = was_away(two_rounds(), 1, "ana", 2, aside="helper")
    record = had_role(record, key(1, 1, 2), "ana", "scorer")
    assert record.absences == (Absence(1, "ana", "aside", 2, "scorer"),)
    assert record.plan.rounds[1].group_of("ana") is None


@pytest.mark.parametrize(
    ("what", "said"),
    [
        (lambda record: moved(record, key(1, 1, 1), "ben", "1"), "Ben is in group 1 already"),
        (lambda record: moved(record, key(1, 1, 1), "ben", "9"), "no group '9'; its groups are 1, 2, 3, 4"),
        (lambda record: moved(record, key(2, 1, 1), "ben", "1"), "lesson 2 has no groups yet"),
        (lambda record: was_away(record, 1, "ben", 3), "rounds 1 to 2, not 3"),
        (lambda record: corrected(record, {key(1, 1, 2): groups("ana ben | ana cem")}), "round 2: Ana in two groups"),
        (lambda record: had_role(was_away(record, 1, "ana"), key(1, 1, 1), "ana", "coach"), "Ana is in no group"),
        (lambda record: noted(record, 1, 3, "late start"), "rounds 1 to 2, not 3"),
    ],
)
def test_what_cannot_have_been_is_refused(what, said: str) -> None:  # type: ignore[no-untyped-def]
    """Each with what is wrong and where."""
    with pytest.raises(InputError, match=said):
        what(two_rounds())


def test_a_note_replaces_the_one_before_and_no_words_take_it_away() -> None:
    """One note a round, one for the lesson."""
    record = noted(noted(two_rounds(), 1, 0, "wet floor"), 1, 2, "too loud")
    assert (note_of(record, 1), note_of(record, 1, 2)) == ("wet floor", "too loud")
    record = noted(noted(record, 1, 0, "dry again"), 1, 2, " ")
    assert [note.text for note in record.notes] == ["dry again"]
