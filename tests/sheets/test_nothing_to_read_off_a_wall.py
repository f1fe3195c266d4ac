"""Nothing on a wall depends on who is how able: the same bytes whatever ratings, results and points are.

A sheet or a screen that is the same for any abilities can tell of none: not by the order of groups or names, by
labels, letters of places, the order of stations, numbers of tasks, or courts. That labels are dealt without looking at
ratings when a plan is made is tested in ``tests/planning/test_order_tells_nothing.py``.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from builders import class_of_eight, pairs, with_plan

from grouper.faces.sheets.pages import task_cards_page, wall_page, where_page
from grouper.faces.sheets.play_sheets import event_pages
from grouper.faces.views.cards import task_cards
from grouper.faces.views.play_view import play_view
from grouper.faces.views.students import lesson_names, screen_view, student_lesson_view
from grouper.games.days.groups import of_class
from grouper.games.days.plan import planned_in
from grouper.model.noted import TaskResult
from grouper.model.plan import Plan
from grouper.model.play import GAMES, STATIONS, Asked, Event
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey, Unit
from grouper.planning.noting import seen
from grouper.tasks.choose import with_task
from grouper.tasks.kept import scored_as, with_two_ways, without
from grouper.tasks.rounds import tasks_of_round

from .examples import TASKS, lesson_of, with_ladders

ACTIVITIES = (
    Activity("Pass", size=2, rounds=2, strand="passing"),
    Activity("Alone", size=1, rounds=1, strand="passing"),
    Activity("Help", "coaching", size=2, strand="passing"),
    Activity("Alike", "similar", size=3, strand="fitness"),
    Activity("Cup", "balanced", groups=4, strand="passing"),
)
PAIRS = "ana ben | cem dia | eva fin | gil hana"
SCORINGS = {"Pass": "near misses", "Alone": "own best", "Alike": "class total", "Cup": "danger zone 5"}


def klass(abilities: int) -> ClassRecord:
    """Twenty-four in the same groups each time, with games and stations planned anew; who is how able is drawn."""
    record = lesson_of(24, *ACTIVITIES)
    chance = Random(abilities)
    ratings = [dict(student.ratings) for student in record.roster.students]
    chance.shuffle(ratings)
    able = (replace(student, ratings=own) for student, own in zip(record.roster.students, ratings, strict=True))
    record = with_ladders(replace(record, roster=replace(record.roster, students=tuple(able))))
    record = without(with_two_ways(record, "Alone", True), "Cup")
    for activity, scoring in SCORINGS.items():
        record = scored_as(record, activity, scoring)
    for round_ in record.plan.rounds:
        for group in round_.groups:
            felt = chance.choice(("easy", "right", "hard"))
            record = seen(record, TaskResult(round_.key, group.label, felt, points=chance.randint(0, 50)))
    circuit = Event(STATIONS, (), ("",) * 8, asked=Asked(order="balanced"))
    for wish, activity in ((Event(GAMES, (), ("", "")), "Cup"), (circuit, "Alike")):
        record, _ = planned_in(record, of_class(record, wish, 1, activity), None)
    return record


def walls(record: ClassRecord) -> dict[str, str]:
    """Every sheet that hangs on a wall or lies at a court or station, and all that the screen is made from."""
    view = student_lesson_view(record, 1)
    pages = {"wall": wall_page(view), "where": where_page(view), "screen": repr(screen_view(record, 1))}
    for event in record.events:
        made = event_pages(play_view(event, record), event.is_games)
        pages |= {f"{event.activity} {name}": page() for name, page in made.items()}
    return pages


@pytest.mark.parametrize("abilities", range(1, 6))
def test_walls_are_the_same_whoever_is_how_able(abilities: int) -> None:
    """While the cards that are handed out are not: tasks do follow abilities, and stand nowhere else."""
    one, other = klass(0), klass(abilities)
    rounds = [student_lesson_view(record, 1).rounds for record in (one, other)]
    assert all([block.on_cards for block in blocks] == [True] * 5 + [False] for blocks in rounds), "games have no tasks"
    assert task_cards(one, 1) != task_cards(other, 1)
    there, here = walls(one), walls(other)
    assert len(there) == 7 and {name for name in there if there[name] != here[name]} == set()


def test_rules_for_points_stand_on_walls_and_no_groups_points_do() -> None:
    """A class total of an earlier lesson is the one number that may follow a rule, and it is a sum."""
    record = klass(0)
    said = " ".join(walls(record).values())
    assert all((own := record.challenge(name)) and own.rule in said for name in SCORINGS)
    marked = seen(record, TaskResult(RoundKey(1, 1, 1), "1", points=9731))
    assert walls(marked) == walls(record) and "9731" not in repr(task_cards(marked, 1))


def test_what_a_child_had_last_time_stands_on_their_own_card_alone() -> None:
    """Never two on a card, nor on a wall; with a line for today, and for who had nothing yet that alone."""
    record = scored_as(with_plan(class_of_eight(pairs(2)), PAIRS, PAIRS), "Passing", "own best")
    record = seen(record, TaskResult(RoundKey(1, 1, 1), "1", points=9731))
    cards = [card for card in task_cards(record, 1).cards if card.place == 2]
    assert [card.title for card in cards] == sorted(record.roster.name(s) for s in record.roster.by_id)
    marked = {card.title for card in cards if "9731" in card.own}
    assert marked == {record.roster.name(s) for s in record.plan.rounds[0].groups[0].members}
    assert all(card.to_fill and not card.people and not card.tasks for card in cards)
    assert "9731" not in " ".join(walls(record).values()) and task_cards(record, 1).rounds == ()
    page = task_cards_page(task_cards(record, 1))
    assert page.count("Your last time: 9731 points.") == 2 and page.count("Today:") == 16


def test_a_child_alone_has_task_mark_and_own_choice_on_one_card() -> None:
    """The two ways can be ticked; what the child took last time is told to the child, and nobody else's is."""
    record = scored_as(klass(0), "Alone", "own best")
    first = next(key for key in record.unit.keys if record.unit.activity(key).name == "Alone")
    lessons = tuple(replace(lesson, number=n) for n in (1, 2) for lesson in record.unit.lessons[:1])
    rounds = [replace(r, key=r.key._replace(lesson=n)) for n in (1, 2) for r in record.plan.of_lesson(1)]
    record = replace(record, unit=Unit(lessons), plan=Plan(tuple(rounds)))
    group = record.plan.by_key[first].groups[0]
    task = tasks_of_round(record, first)[group.label]
    record = with_task(record, first, group.label, task.other)
    record = seen(record, TaskResult(first, group.label, "right", points=7, at=task.other))
    (name,) = (lesson_names(record, 2)[student] for student in group.members)
    cards = [card for card in task_cards(record, 2).cards if card.activity == "Alone"]
    assert len(cards) == 24 and all(len(card.people) == 1 and len(card.tasks[0].ways) == 2 for card in cards)
    told = {card.people[0]: card.own for card in cards if "you took" in card.own}
    assert set(told) == {name} and told[name].startswith("Your last time: 7 points. Last time you took: ")
    assert all(card.own.startswith("Your last time: ") and card.to_fill for card in cards)
    assert task_cards_page(task_cards(record, 2)).count("We took:") >= 24


def test_the_two_ways_on_a_card_stand_by_the_alphabet() -> None:
    """So that neither the first nor the second is always the harder one."""
    cards = [card for card in task_cards(klass(0), 1).cards if card.activity == "Alone"]
    lines = [line for card in cards for line in card.tasks]
    two = [line.task.removeprefix("Choose: ").removesuffix(".").split(", or ") for line in lines]
    assert len(cards) == 24 and all(len(each) == 2 and each == sorted(each, key=str.casefold) for each in two)
    harder_first = [TASKS.index(f"{first}.") > TASKS.index(f"{second}.") for first, second in two]
    assert len(set(harder_first)) == 2, "the first is now this, now that"
