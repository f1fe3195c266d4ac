"""Duty falls to those who had least of it in the games of the unit so far."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from builders import pairs, record_of, roster_of, with_plan

from grouper.games.days.groups import of_class
from grouper.games.days.plan import plan, planned_in
from grouper.games.days.season import duty_turns, turned_to_even_duty
from grouper.games.draws import sound
from grouper.model.play import GAMES, Event
from grouper.model.record import ClassRecord
from grouper.model.roster import Student

LINE = "s01 s02 | s03 s04 | s05 s06 | s07 s08 | s09 s10"
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
    assert Counter(turns[student.id] for student in record.roster.students) == {2: 8, 1: 2}
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
