"""A small class with results, for the tests of this folder."""

from __future__ import annotations

from dataclasses import replace

from builders import class_of_eight, game, games_of, with_plan

from grouper.model.noted import TaskResult
from grouper.model.play import Score
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, RoundKey

GAMES = Activity("Games", aim="balanced", groups=2, strand="passing")
TEAMS = "ana dia eva hana | ben cem fin gil"
"""Averages 2.75 and 2.5, by the class of eight."""


def class_with_teams(*activities: Activity, lessons: int = 2, lines: tuple[str, ...] = ()) -> ClassRecord:
    """The class of eight in two teams, in every lesson the same ones unless ``lines`` has others."""
    record = class_of_eight(*(activities or (GAMES,)), lessons=lessons)
    return with_plan(record, *(lines or (TEAMS,) * len(record.unit.keys)))


def with_game(
    record: ClassRecord, lesson: int, home: int, away: int, activity: str = "Games", **extra: float
) -> ClassRecord:
    """The record with one more game of team 1 against team 2."""
    day = next((day for day in record.games if day.key[:2] == (lesson, activity)), None)
    day = day or games_of(lesson, activity, ("1", "2"), 1)
    one_more = game(day.slots + 1, 1, 1, 2, score=Score(home, away, **extra))
    return record.with_event(replace(day, assignments=(*day.assignments, one_more)))


def with_taps(record: ClassRecord, *results: TaskResult) -> ClassRecord:
    """The record with what was seen of tasks."""
    return replace(record, results=tuple(sorted(results, key=lambda result: (result.key, result.label))))


def tap(label: str, felt: str = "", lesson: int = 1, **more: int) -> TaskResult:
    """What was seen of a group in the first round of a lesson."""
    return TaskResult(RoundKey(lesson, 1, 1), label, felt, **more)


def rating(record: ClassRecord, student: str, strand: str = "passing") -> float:
    """A rating on the roster."""
    return record.roster.by_id[student].ratings[strand]


def rerated(record: ClassRecord, student: str, value: float) -> ClassRecord:
    """The record in which the teacher has rated a student anew."""
    person = record.roster.by_id[student]
    ratings = {**person.ratings, "passing": value}
    return replace(record, roster=record.roster.with_student(replace(person, ratings=ratings)))
