"""Duty falls to those who had least of it in the games of the unit so far."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product

from builders import pairs, record_of, roster_of, with_plan
from hypothesis import given
from hypothesis import strategies as st

from grouper.faces.wording.fairness import summary_lines
from grouper.games.days.groups import of_class
from grouper.games.days.plan import plan, planned_in
from grouper.games.days.season import duty_turns, turned_to_even_duty
from grouper.games.draws import sound
from grouper.model.play import GAMES, Assignment, Event
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.fairness import fairness_of

LINE = "s01 s02 | s03 s04 | s05 s06 | s07 s08 | s09 s10"
SLOTS = ((1, (1, 2)), (2, (1, 3)))
WISH = Event(GAMES, ("1", "2", "3", "4", "5"), ("",))
"""Ten games of five teams, one after the other, with one team on duty in each."""


def class_of_ten(lessons: int = 3) -> ClassRecord:
    record = record_of(roster_of(10), pairs(), lessons=lessons)
    return with_plan(record, *[LINE] * lessons)


def uneven_day(record: ClassRecord, lesson: int) -> ClassRecord:
    """Games of a lesson in which only the first three are played, so that three teams are on duty once."""
    day = plan(of_class(record, WISH, lesson, "Passing"))
    short = replace(day, assignments=day.assignments[:3])
    return record.with_event(turned_to_even_duty(record, short))


def test_the_first_games_stay_as_they_are_drawn() -> None:
    """Nobody has been on duty yet: the day is the one that mere numbers get."""
    record = class_of_ten()
    wish = of_class(record, WISH, 1, "Passing")
    assert planned_in(record, wish)[1] == plan(wish)


def test_duty_goes_round_over_lessons() -> None:
    """Three teams on duty in each of three lessons: nine turns for five teams, one or two each."""
    record = class_of_ten()
    for lesson in (1, 2, 3):
        record = uneven_day(record, lesson)
    turns = duty_turns(record)
    assert turns is not None
    assert (turns.range, turns.least_range) == (1, 1), "nine turns for five teams cannot be the same for all"
    assert Counter(turns.by_student[student.id] for student in record.roster.students) == {2: 8, 1: 2}
    assert all(sound(day) for day in record.games)


def test_a_newcomer_is_not_the_first_on_duty() -> None:
    """Two games in each lesson: who joins in lesson 2, alone in team 1, is counted what the others had on average."""
    record = class_of_ten(2)
    day = plan(of_class(record, WISH, 1, "Passing"))
    record = record.with_event(replace(day, assignments=day.assignments[:2]))
    round_ = record.plan.rounds[1]
    alone = replace(round_.groups[0], members=("new-1",))
    anew = record.plan.with_rounds({round_.key: replace(round_, groups=(alone, *round_.groups[1:]))})
    roster = record.roster.with_student(Student("new-1", "New", first_lesson=2))
    later = replace(day, lesson=2, assignments=day.assignments[:2])
    turned = turned_to_even_duty(replace(record, plan=anew, roster=roster), later)
    assert "1" not in {turned.teams[fixture.duty - 1] for fixture in turned.assignments if fixture.duty}


@given(st.data())
def test_no_way_to_share_out_duty_is_more_even_than_its_bound(data: st.DataObject) -> None:
    """Two lessons of five people in three teams, which are drawn; every way to put teams on duty in two slots each."""
    record, days = record_of(roster_of(5), pairs(), lessons=2), []
    lines = []
    for _ in range(2):
        one, two, three, four, five = data.draw(st.permutations([f"s{place:02}" for place in range(1, 6)]))
        lines.append(f"{one} {two} | {three} {four} | {five}")
    record = with_plan(record, *lines)
    for lesson in (1, 2):
        wish = of_class(record, Event(GAMES, ("1", "2", "3"), ("",)), lesson, "Passing")
        days.append(replace(wish, assignments=tuple(Assignment(slot, 1, teams) for slot, teams in SLOTS)))
    found, bound = [], None
    for duty in product((1, 2, 3), repeat=4):
        either = record
        for day, (first, second) in zip(days, (duty[:2], duty[2:]), strict=True):
            one, two = day.assignments
            officiated = (replace(one, duty=first), replace(two, duty=second))
            either = either.with_event(replace(day, assignments=officiated))
        turns = duty_turns(either)
        assert turns is not None
        found.append(turns.range)
        bound = turns.least_range
    assert bound is not None
    assert bound <= min(found)


def test_a_duty_that_was_done_bounds_what_can_be() -> None:
    """Three of five teams were on duty once, and their lesson is over: nothing is left to share out."""
    record = uneven_day(class_of_ten(1), 1)
    free, settled = duty_turns(record), duty_turns(record, {1})
    assert free is not None
    assert settled is not None
    assert (free.least_range, settled.least_range) == (1, 1)
    twice = record.games[0]
    same = tuple(replace(game, duty=twice.assignments[0].duty) for game in twice.assignments)
    again = record.with_event(replace(twice, assignments=same))
    free, settled = duty_turns(again), duty_turns(again, {1})
    assert free is not None
    assert settled is not None
    assert (free.least_range, settled.least_range) == (1, 3)
    assert "0 to 3 turns each; at best they could differ by 1" in " ".join(summary_lines(again, fairness_of(again)))
