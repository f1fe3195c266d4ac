"""Small classes that can be checked on paper, and short words for making them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np

from grouper.engines.board import NOWHERE, Board, Seats
from grouper.model.levers import Challenge, Lever, Setting
from grouper.model.plan import Group, Plan, Round
from grouper.model.play import GAMES, Assignment, Event, Score
from grouper.model.problem import Problem, problem_of
from grouper.model.record import ClassRecord
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, RoundKey, Unit
from grouper.planning.plan import plan_unit

STRAND = "passing"

EIGHT = ("ana", "ben", "cem", "dia", "eva", "fin", "gil", "hana")
"""Ids of the class of eight, from the lowest rating in passing to the highest."""

EIGHT_RATINGS = (1, 1, 2, 2, 3, 3, 4, 5)
"""Their ratings: 21 in all, range 4."""


def roster_of(people: int, ratings: Sequence[float | None] = ()) -> Roster:
    """A class with the ids s01, s02 ...; None is a student who is not rated."""
    rated = [*ratings, *[None] * (people - len(ratings))]
    students = (
        Student(f"s{place:02}", f"Student {place:02}", {} if rating is None else {STRAND: rating})
        for place, rating in enumerate(rated, start=1)
    )
    return Roster(tuple(students), (STRAND,))


def class_of_eight(*activities: Activity, requests: Iterable[Request] = (), lessons: int = 1) -> ClassRecord:
    """The class of eight, with the same activities in each lesson."""
    students = (Student(id_, id_.title(), {STRAND: r}) for id_, r in zip(EIGHT, EIGHT_RATINGS, strict=True))
    return record_of(Roster(tuple(students), (STRAND,)), *activities, requests=requests, lessons=lessons)


def record_of(roster: Roster, *activities: Activity, requests: Iterable[Request] = (), lessons: int = 1) -> ClassRecord:
    """A class with the same activities in each lesson, and no plan yet."""
    unit = Unit(tuple(Lesson(number, activities) for number in range(1, lessons + 1)))
    return ClassRecord(roster, unit, tuple(requests))


def class_of(people: int, *activities: Activity, requests: Iterable[Request] = (), lessons: int = 1) -> ClassRecord:
    """A class of so many, nobody rated."""
    return record_of(roster_of(people), *activities, requests=requests, lessons=lessons)


def pairs(rounds: int = 1, name: str = "Passing", **more: object) -> Activity:
    """Rounds in pairs with new partners."""
    return Activity(name, size=2, rounds=rounds, **more)  # type: ignore[arg-type]


def apart(one: str, other: str, first: int | None = None, last: int | None = None) -> Request:
    """A request to keep two apart."""
    return Request("apart", one, other, first, last)


def together(one: str, other: str, first: int | None = None, last: int | None = None) -> Request:
    """A request to keep two together."""
    return Request("together", one, other, first, last)


def groups(text: str) -> tuple[Group, ...]:
    """Groups from a line such as ``ana ben | cem dia eva``, labelled 1, 2 ..."""
    return tuple(Group(str(label), tuple(part.split())) for label, part in enumerate(text.split("|"), start=1))


def plan_of(record: ClassRecord, *lines: str) -> Plan:
    """A plan of one line of groups for each round, in the order of play."""
    return Plan(
        tuple(Round(key, groups(line), groups(line)) for key, line in zip(record.unit.keys, lines, strict=True))
    )


def with_plan(record: ClassRecord, *lines: str) -> ClassRecord:
    """The record with such a plan."""
    return replace(record, plan=plan_of(record, *lines))


def problem_and_plan(record: ClassRecord, *lines: str, prefer: str = "") -> tuple[Problem, Plan]:
    """What the record asks for, and a plan written down by hand."""
    return problem_of(replace(record, settings=Settings(prefer))), plan_of(record, *lines)


def key(lesson: int, activity: int = 1, round_: int = 1) -> RoundKey:
    """Which round."""
    return RoundKey(lesson, activity, round_)


def quick(record: ClassRecord, seed: int = 0, prefer: str = "") -> ClassRecord:
    """The record planned with little work."""
    return plan_unit(record, seed=seed, effort="quick", settings=Settings(prefer)).record


def hasty(record: ClassRecord, share: float = 0.02) -> ClassRecord:
    """The record planned with hardly any work: for claims that hold of every plan, good or bad."""
    return plan_unit(record, effort="quick", watch=lambda used, cost: used < share).record


def partitions(people: Sequence[int], sizes: Sequence[int]) -> Iterator[tuple[tuple[int, ...], ...]]:
    """Every way to put people in groups of these sizes, each once, whatever the order of the groups.

    Examples
    --------
    >>> len(list(partitions(range(4), (2, 2)))), len(list(partitions(range(7), (3, 2, 2))))
    (3, 105)
    """
    if not people:
        yield ()
        return
    first, rest = people[0], people[1:]
    for size in sorted(set(sizes)):
        left = list(sizes)
        left.remove(size)
        for others in combinations(rest, size - 1):
            remaining = [person for person in rest if person not in others]
            for more in partitions(remaining, left):
                yield ((first, *others), *more)


def count_pairs(rounds: Iterable[Round]) -> dict[tuple[str, str], int]:
    """How often each two met, counted without any of the project's own counting."""
    counted: dict[tuple[str, str], int] = {}
    for round_ in rounds:
        for group in round_.groups:
            for one in group.members:
                for other in group.members:
                    if one < other:
                        counted[(one, other)] = counted.get((one, other), 0) + 1
    return counted


def repeats_of(rounds: Iterable[Round]) -> int:
    """Meetings after the first of each two, counted anew."""
    return sum(times - 1 for times in count_pairs(rounds).values())


def seats_of(board: Board, plan: Plan) -> Seats:
    """Where everybody sits on a board under a plan: blocks x people, the groups of a block largest first."""
    rows = np.full((len(board.blocks), board.size), NOWHERE, dtype=np.int64)
    for row, block in zip(rows, board.blocks, strict=True):
        by_size = sorted(plan.by_key[block.keys[0]].groups, key=lambda group: -len(group.members))
        for place, group in enumerate(by_size):
            row[[board.students.index(student) for student in group.members]] = place
    return rows


def game(
    slot: int,
    court: int,
    home: int,
    away: int,
    duty: int | None = None,
    score: Score | None = None,
    lineup: tuple[tuple[str, ...], ...] = (),
) -> Assignment:
    """A game in a slot on a court, with its score and who played where they are given."""
    return Assignment(slot, court, (home, away), duty, score, lineup)


def games_of(
    lesson: int, activity: str, teams: tuple[str, ...], courts: int, games: tuple[Assignment, ...] = (), **more: Any
) -> Event:
    """The games of an activity: asked for, or as they are given."""
    return Event(GAMES, teams, ("",) * courts, lesson, activity, assignments=games, **more)


def ladder(activity: str, *tasks: str) -> Challenge:
    """Whole tasks from easy to hard as the one lever of an activity, its settings called by their numbers."""
    settings = tuple(Setting(f"step {place}", task) for place, task in enumerate(tasks, start=1))
    return Challenge(activity, (Lever("task", settings),))
