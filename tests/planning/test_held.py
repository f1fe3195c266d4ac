"""A lesson that ended early: later rounds count nowhere, come back, and can be planned in another lesson."""

from __future__ import annotations

from dataclasses import replace

import pytest
from builders import class_of_eight, count_pairs, game, games_of, key, pairs, plan_of, quick, repeats_of, with_plan

from grouper.errors import InputError
from grouper.model.held import held_up_to, throughout, whole
from grouper.model.ledger import ledger_of
from grouper.model.noted import Absence, ChosenTask, Note, TaskResult
from grouper.model.play import Score
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.adjust import reopened, taught
from grouper.planning.admit import with_rest
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.ran import moved, next_unit, was_away

ONE = "ana ben | cem dia | eva fin | gil hana"
TWO = "ana cem | ben dia | eva gil | fin hana"
THREE = "ana dia | ben cem | eva hana | fin gil"
GAME = "ana ben cem dia | eva fin gil hana"


def day() -> ClassRecord:
    """Two lessons of three rounds in pairs and a game of two teams; all kinds of things noted of the first."""
    record = with_plan(
        class_of_eight(pairs(3), Activity("Game", groups=2), lessons=2), *[ONE, TWO, THREE, GAME, ONE, TWO, THREE, GAME]
    )
    played = game(1, 1, 1, 2, None, Score(3, 1), (("ana", "ben", "cem", "dia"), ("eva", "fin", "gil", "hana")))
    return replace(
        record,
        results=(TaskResult(key(1), "1", "hard"), TaskResult(key(1, 1, 3), "2", "easy")),
        chosen_tasks=(ChosenTask(key(1, 1, 3), "1", (2,), ("ana", "dia")),),
        events=(games_of(1, "Game", ("1", "2"), 1, (played,)),),
        notes=(Note(1, 0, "wet floor"), Note(1, 4, "fire drill")),
        absences=(Absence(1, "ana", "away", 4), Absence(1, "ben", "away", 1, "late", 3), Absence(2, "ben")),
    )


def test_later_rounds_are_no_part_of_anything() -> None:
    """Closed after its second round, the lesson is one activity of two rounds, with what was noted of those."""
    record = taught(day(), 1, up_to=2)
    assert record.lesson(1).activities == (pairs(2),) and record.taught == {1}
    assert [round_.key for round_ in record.plan.of_lesson(1)] == [key(1), key(1, 1, 2)]
    assert [result.key for result in record.results] == [key(1)]
    assert (record.chosen_tasks, record.events) == ((), ())
    assert record.notes == (Note(1, 0, "wet floor"),)
    assert record.absences == (Absence(1, "ben", "away", 1, "late"), Absence(2, "ben"))


def test_meetings_are_those_of_the_rounds_that_were_held() -> None:
    """Counted from the lines above, not by the project: two rounds of the first lesson, and all of the second."""
    record = taught(day(), 1, up_to=2)
    base = class_of_eight(pairs(3), Activity("Game", groups=2), lessons=2)
    lines = plan_of(base, ONE, TWO, THREE, GAME, ONE, TWO, THREE, GAME).rounds
    held = [*lines[:2], *lines[4:]]
    assert dict(ledger_of(record.plan.rounds).meetings) == count_pairs(held)
    fairness = fairness_of(record)
    assert fairness.repeats == repeats_of(held) and len(problem_of(record).rounds) == 6
    assert len(next_unit(record, record.unit).record.past) == 2 and not next_unit(record, record.unit).record.unheld


@pytest.mark.parametrize("last", [1, 2, 3])
def test_all_of_it_comes_back(last: int) -> None:
    """Opened again, or said to have been held to its end, the lesson is as it was before, to the last note."""
    ended = taught(day(), 1, up_to=last)
    assert reopened(ended, 1) == replace(day(), absences=reopened(ended, 1).absences)
    assert set(reopened(ended, 1).absences) == set(day().absences)
    assert taught(ended, 1, up_to=4) == replace(whole(ended), taught=frozenset({1}))


def test_where_it_ended_can_be_put_right_either_way() -> None:
    """First said to be round 1, then round 3: as if it had been said at once; what was put right meanwhile stays."""
    assert taught(taught(day(), 1, up_to=1), 1, up_to=3) == replace(
        taught(day(), 1, up_to=3), absences=taught(taught(day(), 1, up_to=1), 1, up_to=3).absences
    )
    ran = moved(taught(day(), 1, up_to=2), key(1), "ben", "2")
    later = taught(ran, 1, up_to=3)
    assert later.plan.by_key[key(1)].ran and later.plan.by_key[key(1)].group_of("ben").label == "2"  # type: ignore[union-attr]


def test_who_was_away_until_the_end_was_away_until_the_end() -> None:
    """Absences go by the rounds that were held, and come back as they were said."""
    record = was_away(taught(day(), 1, up_to=2), 1, "cem", since=2)
    assert Absence(1, "cem", "away", 2) in record.absences
    assert {Absence(1, "ana", "away", 4), Absence(1, "ben", "away", 1, "late", 3)} <= set(whole(record).absences)


def test_planning_leaves_the_past_and_knows_only_what_was_held() -> None:
    """Eight have seven partners: of four and four rounds some repeat, of one and four, planned anew, none does."""
    first = quick(class_of_eight(pairs(4), lessons=2))
    record = plan_unit(taught(first, 1, up_to=1), effort="quick").record
    assert record.plan.of_lesson(1) == first.plan.of_lesson(1)[:1] and len(record.plan.rounds) == 5
    assert repeats_of(first.plan.rounds) > 0 and repeats_of(record.plan.rounds) == 0


def test_what_was_left_is_planned_in_another_lesson() -> None:
    """Two rounds and the game stand before what was there, whose groups stay; a second time it is refused."""
    record = with_rest(taught(day(), 1, up_to=1), 1, 2)
    names = [(activity.name, activity.rounds) for activity in record.lesson(2).activities]
    assert names == [("Passing, from lesson 1", 2), ("Game, from lesson 1", 1), ("Passing", 3), ("Game", 1)]
    assert {r.key.activity for r in record.plan.of_lesson(2)} == {3, 4}
    assert record.absences[-1] == Absence(2, "ben")
    assert set(plan_unit(record, effort="quick").record.plan.by_key) == set(record.unit.keys)
    with pytest.raises(InputError, match="is in lesson 2 already"):
        with_rest(record, 1, 2)
    with pytest.raises(InputError, match="nothing is left of lesson 2"):
        with_rest(record, 2, 2)


@pytest.mark.parametrize(("last", "said"), [(0, "give the lesson another date"), (5, "rounds 1 to 4, not 5")])
def test_a_round_that_is_none_is_refused(last: int, said: str) -> None:
    """With the rounds that there are; where no round was held the lesson is still to come."""
    with pytest.raises(InputError, match=said):
        taught(day(), 1, up_to=last)


def test_a_change_of_everything_reaches_what_was_not_held() -> None:
    """As when somebody is to be erased: their place in a round that was not held is renamed too."""
    ended = held_up_to(day(), 1, 2)
    renamed = throughout(ended, lambda record: replace(record, notes=tuple(replace(n, text="x") for n in record.notes)))
    assert {note.text for note in whole(renamed).notes} == {"x"} and len(whole(renamed).notes) == 2
    assert renamed.unheld[0].after == 2


def test_the_end_is_no_end_where_all_was_held() -> None:
    """Up to the last round is the plain closing."""
    record = quick(class_of_eight(pairs(2), lessons=1))
    assert taught(record, 1, up_to=2) == taught(record, 1)
