"""Late, back, and out again in one lesson: each round has who was there, and rounds played keep their groups."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from builders import class_of_eight, hasty, pairs, quick
from hypothesis import given, settings
from hypothesis import strategies as st

from grouper.errors import InputError
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.attend import absent, aside, join, late, leave, present

ROUNDS = 5


@cache
def five_rounds() -> ClassRecord:
    """The class of eight in five rounds of pairs."""
    return quick(class_of_eight(pairs(ROUNDS)))


def rounds_of(record: ClassRecord, student: str) -> list[int]:
    """The places of the rounds that a student has a group in."""
    return [round_.key.round for round_ in record.plan.rounds if student in round_.students]


def missed(record: ClassRecord, student: str) -> list[tuple[str, int, int | None]]:
    """What attendance says of a student."""
    return [(absence.state, absence.since, absence.until) for absence in record.absences_of(student, 1)]


def test_who_comes_late_is_there_from_that_round_on_and_rounds_played_keep_their_groups() -> None:
    """Late at the door, here while round 2 runs: in rounds 3 to 5, and rounds 1 and 2 are as they were played."""
    played = late(five_rounds(), 1, ("ana",)).record
    came = present(played, 1, ("ana",), since=3).record
    assert rounds_of(came, "ana") == [3, 4, 5]
    assert came.plan.rounds[:2] == played.plan.rounds[:2]
    assert missed(came, "ana") == [("away", 1, 2)] and came.absences[0].role == "late"


def test_who_came_late_gets_the_planned_groups_for_the_rest() -> None:
    """With everybody there again, rounds 3 to 5 are as they were planned."""
    planned = five_rounds()
    came = present(late(planned, 1, ("ana",)).record, 1, ("ana",), since=3)
    assert came.record.plan.rounds[2:] == planned.plan.rounds[2:]
    assert {change.key.round for change in came.changes} == {3, 4, 5}


def test_late_and_to_the_nurse_later_in_one_lesson() -> None:
    """Both absences stand, and only the rounds between have the student."""
    came = present(late(five_rounds(), 1, ("ana",)).record, 1, ("ana",), since=2).record
    gone = absent(came, 1, ("ana",), since=4).record
    assert missed(gone, "ana") == [("away", 1, 1), ("away", 4, None)]
    assert rounds_of(gone, "ana") == [2, 3] and gone.plan.rounds[:3] == came.plan.rounds[:3]


def test_a_break_in_the_middle() -> None:
    """Out in rounds 2 and 3, back in 4."""
    out = absent(five_rounds(), 1, ("ben",), since=2).record
    assert rounds_of(present(out, 1, ("ben",), since=4).record, "ben") == [1, 4, 5]


def test_here_from_the_first_round_that_was_missed_takes_the_absence_back() -> None:
    """A slip of the finger leaves no trace."""
    planned = five_rounds()
    back = present(absent(planned, 1, ("ben",), since=3).record, 1, ("ben",), since=3).record
    assert back == planned


def test_the_same_said_again_from_another_round_puts_it_right() -> None:
    """'Away' and then 'away from round 3' is one absence, of rounds 3 to 5."""
    out = absent(absent(five_rounds(), 1, ("ben",)).record, 1, ("ben",), since=3).record
    assert missed(out, "ben") == [("away", 3, None)] and rounds_of(out, "ben") == [1, 2]


def test_aside_and_then_away_are_two() -> None:
    """Who keeps the score and then goes home was there for the rounds before."""
    scorer = aside(five_rounds(), 1, ("ben",), "scorer").record
    assert missed(absent(scorer, 1, ("ben",), since=3).record, "ben") == [("aside", 1, 2), ("away", 3, None)]


def test_nobody_comes_back_who_was_not_out() -> None:
    """Coming again from a round for which one is marked as there is an error, and so is a round that there is not."""
    came = present(late(five_rounds(), 1, ("ana",)).record, 1, ("ana",), since=3).record
    with pytest.raises(InputError, match="not marked as absent in lesson 1 from round 4 on"):
        present(came, 1, ("ana",), since=4)
    with pytest.raises(InputError, match="rounds 1 to 5, not 6"):
        present(came, 1, ("ana",), since=6)


@cache
def game_day() -> ClassRecord:
    """Five rounds, those of the last activity with the groups of the one before."""
    return hasty(class_of_eight(pairs(2), Activity("Game", size=4), Activity("Same teams", aim="stay", rounds=2)))


def test_a_lesson_without_groups_yet_is_left_alone() -> None:
    """A lesson was added after the plan: somebody is away, late, back, new or gone all the same."""
    planned = five_rounds()
    more = replace(planned, unit=Unit((*planned.unit.lessons, Lesson(2, (pairs(2),)))))
    out = absent(more, 1, ("ana",)).record
    assert rounds_of(out, "ana") == [] and out.unit == more.unit
    assert present(out, 1, ("ana",)).record == more
    assert rounds_of(present(late(more, 1, ("ana",)).record, 1, ("ana",), since=3).record, "ana") == [3, 4, 5]
    joined = join(more, Student("ivo", "Ivo"), 1).record
    assert rounds_of(joined, "ivo") == [1, 2, 3, 4, 5]
    assert rounds_of(leave(joined, "ivo", 1).record, "ivo") == []


@given(
    st.lists(
        st.tuples(st.sampled_from(["away", "aside", "here"]), st.sampled_from(["ana", "ben"]), st.integers(1, ROUNDS)),
        max_size=6,
    )
)
@settings(max_examples=25, deadline=None)
def test_each_round_has_just_who_was_there(acts: list[tuple[str, str, int]]) -> None:
    """Against a plain table of rounds: after any coming and going, groups and attendance agree with what was said, and
    no round before the one named changes when somebody comes back."""
    record = game_day()
    there = {student: [""] * ROUNDS for student in ("ana", "ben")}
    for act, student, since in acts:
        before = record
        try:
            record = _done(record, act, student, since)
        except InputError:
            continue
        if act == "here":
            assert record.plan.rounds[: since - 1] == before.plan.rounds[: since - 1]
            there[student][since - 1 :] = [""] * (ROUNDS - since + 1)
        else:
            there[student] = _out(there[student], before, act, student, since)
    for place, round_ in enumerate(record.plan.rounds):
        assert set(round_.students) == {s for s in record.roster.by_id if there.get(s, [""] * ROUNDS)[place] == ""}


def _done(record: ClassRecord, act: str, student: str, since: int) -> ClassRecord:
    if act == "here":
        return present(record, 1, (student,), since).record
    if act == "aside":
        return aside(record, 1, (student,), "scorer", since).record
    return absent(record, 1, (student,), since).record


def _out(states: list[str], before: ClassRecord, act: str, student: str, since: int) -> list[str]:
    """The states of the rounds; the same absence still open is put right, so that its earlier rounds were attended."""
    last = before.absence(student, 1)
    kept = list(states)
    if last and last.until is None and last.state == act:
        kept[last.since - 1 :] = [""] * (ROUNDS - last.since + 1)
    return kept[: since - 1] + [act] * (ROUNDS - since + 1)
