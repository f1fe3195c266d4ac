"""A series of records known by their number; light to import, as processes of their own start with it."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from grouper.model.attendance import Absence
from grouper.model.chosen_step import ChosenStep
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import Fixture, GamesAsked, GamesDay, Score, Setback
from grouper.model.ladder import Ladder, Step
from grouper.model.learnt import Learnt
from grouper.model.note import Note
from grouper.model.past import PastRound
from grouper.model.plan import Group, Plan, Round
from grouper.model.points import Points
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.settings import Settings
from grouper.model.task_result import TaskResult
from grouper.model.unit import Activity, Lesson, RoundKey, Unit

_STUDENTS = 12
_UNIT = Unit(
    tuple(
        Lesson(number, (Activity("Passing", size=2, rounds=3), Activity("Game", groups=3)), f"2031-03-{number:02}")
        for number in range(1, 7)
    )
)


def large_state(number: int) -> ClassRecord:
    """The same with a text so long that writing the file takes a while, in which a process can be killed."""
    record = state(number)
    return replace(record, absences=(*record.absences, Absence(1, "001", "aside", role=f"{number} " * 25_000)))


def state(number: int) -> ClassRecord:
    """The record with this number: every part of it differs from the others', and nearly all seats do."""
    draw = random.Random(number)
    ids = [f"{place:03}" for place in range(1, _STUDENTS + 1)]
    return ClassRecord(
        Roster(tuple(Student(id_, f"Pupil {id_}", {"throw": draw.random()}) for id_ in ids), ("throw",)),
        _UNIT,
        requests=(Request("apart", ids[number % 5], ids[5 + number % 7]),),
        absences=(Absence(draw.randint(1, 6), draw.choice(ids)),),
        plan=Plan(tuple(_round(key, draw.sample(ids, _STUDENTS)) for key in _UNIT.keys)),
        taught=frozenset({1, 2}),
        seed=number,
        games=(_games(draw, number),),
        circuits=(_circuit(draw, number),),
        points=Points(2 + number),
        **after_lessons(number),
    )


def after_lessons(number: int) -> dict[str, Any]:
    """What only files of the second form hold: settings, notes, results, choices, ladders, learnt ratings, the past."""
    draw = random.Random(f"after {number}")
    ids = [f"{place:03}" for place in range(1, _STUDENTS + 1)]
    groups = _round(RoundKey(1, 1, 1), draw.sample(ids, _STUDENTS)).groups
    return {
        "settings": Settings(half_life=1.0 + number % 50, success=0.7 + 0.01 * (number % 10)),
        "notes": (Note(1, 0, f"note {number}"), Note(1, 2, "too loud")),
        "results": (TaskResult(RoundKey(1, 1, 1), "A", hits=number, tries=number + 2, step=1),),
        "chosen_steps": (ChosenStep(RoundKey(1, 1, 1), "B", number + 1, (ids[1], ids[2 + number % 4])),),
        "ladders": (Ladder("Passing", (Step("", f"task {number}"), Step("space", "further apart"))),),
        "learnt": (Learnt("002", "throw", None, draw.random(), 2),),
        "past": (PastRound(1, RoundKey(1, 1, 1), "2030-11-04", f"Passing {number}", True, groups),),
    }


def _games(draw: random.Random, number: int) -> GamesDay:
    """Three games of three teams, two of them with a score, and a court closed."""
    scores = (Score(number, draw.randint(0, 9), home_bonus=1), Score(draw.randint(0, 9), number), None)
    pairs = draw.sample(((1, 2), (2, 3), (3, 1)), 3)
    fixtures = tuple(
        Fixture(slot, 1, home, away, 6 - home - away, score, (("002", "003"), ("004",)) if score else ())
        for slot, ((home, away), score) in enumerate(zip(pairs, scores, strict=True), start=1)
    )
    setback = Setback((2,), teams_short=(1 + number % 3,))
    return GamesDay(1, "Game", 1, ("A", "B", "C"), GamesAsked(2), fixtures, setback=setback, played=2)


def _circuit(draw: random.Random, number: int) -> CircuitDay:
    """Three groups at three stations, in some order."""
    order = draw.sample((1, 2, 3), 3)
    visits = sorted((slot, 1 + (slot + group) % 3, order[group]) for slot in (1, 2, 3) for group in range(3))
    return CircuitDay(2, "Game", 1, ("A", "B", "C"), (f"Task {number}", "", ""), tuple(visits))


def _round(key: RoundKey, students: list[str]) -> Round:
    groups = tuple(
        Group(chr(ord("A") + pair), tuple(students[2 * pair : 2 * pair + 2])) for pair in range(_STUDENTS // 2)
    )
    return Round(key, groups, planned=groups[::-1])
