"""Nothing on a wall depends on who is how able: the same bytes whatever ratings, results and points are.

A sheet or a screen that is the same for any abilities can tell of none: not by the order of groups or names, by
labels, letters of places, the order of stations, numbers of tasks, or courts. That labels are dealt without looking at
ratings when a plan is made is tested in ``tests/planning/test_order_tells_nothing.py``.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from grouper.faces.sheets.pages import wall_page, where_page
from grouper.faces.sheets.play_sheets import event_pages
from grouper.faces.views.play_view import play_view
from grouper.faces.views.students import screen_view, student_lesson_view, task_cards
from grouper.games.days.groups import of_class
from grouper.games.days.plan import planned_in
from grouper.model.noted import TaskResult
from grouper.model.play import GAMES, STATIONS, Asked, Event
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey
from grouper.planning.noting import seen
from grouper.tasks.kept import scored_as, with_two_ways, without

from .examples import TASKS, lesson_of, with_ladders

ACTIVITIES = (
    Activity("Pass", size=2, rounds=2, strand="passing"),
    Activity("Alone", size=1, rounds=1, strand="passing"),
    Activity("Help", "coaching", size=2, strand="passing"),
    Activity("Alike", "similar", size=3, strand="fitness"),
    Activity("Cup", "balanced", groups=4, strand="passing"),
)
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


def test_the_two_ways_on_a_card_stand_by_the_alphabet() -> None:
    """So that neither the first nor the second is always the harder one."""
    cards = [card for card in task_cards(klass(0), 1).cards if card.activity == "Alone"]
    lines = [line for card in cards for line in card.tasks]
    two = [line.task.removeprefix("Choose: ").removesuffix(".").split(", or ") for line in lines]
    assert len(cards) == 24 and all(len(each) == 2 and each == sorted(each, key=str.casefold) for each in two)
    harder_first = [TASKS.index(f"{first}.") > TASKS.index(f"{second}.") for first, second in two]
    assert len(set(harder_first)) == 2, "the first is now this, now that"
