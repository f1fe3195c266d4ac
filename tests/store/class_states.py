"""A series of records known by their number; light to import, as processes of their own start with it."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from grouper.model.held import held_up_to
from grouper.model.ledger import PastRound
from grouper.model.levers import Adaptation, Challenge, Lever, Needed, Setting, Store
from grouper.model.noted import Absence, ChosenTask, Learnt, Note, TaskResult
from grouper.model.plan import Group, Plan, Round
from grouper.model.play import GAMES, STATIONS, Asked, Assignment, Event, Points, Score, Setback, Timing
from grouper.model.record import ClassRecord
from grouper.model.request import Request, Settings
from grouper.model.roster import Roster, Student
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
        events=(_games(draw, number), _circuit(draw, number)),
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
        "results": (TaskResult(RoundKey(1, 1, 1), "A", hits=number, tries=number + 2, at=(1,)),),
        "chosen_tasks": (ChosenTask(RoundKey(1, 1, 1), "B", (number + 1,), (ids[1], ids[2 + number % 4])),),
        "challenges": (Challenge("Passing", (_ladder(f"task {number}", "further apart"),)),),
        "learnt": (Learnt("002", "throw", None, draw.random(), 2),),
        "past": (PastRound(1, RoundKey(1, 1, 1), "2030-11-04", f"Passing {number}", True, groups),),
    }


def _games(draw: random.Random, number: int) -> Event:
    """Three games of three teams, two of them with a score, and a court closed."""
    scores = (Score(number, draw.randint(0, 9), home_bonus=1), Score(draw.randint(0, 9), number), None)
    pairs = draw.sample(((1, 2), (2, 3), (3, 1)), 3)
    games = tuple(
        Assignment(slot, 1, (home, away), 6 - home - away, score, (("002", "003"), ("004",)) if score else ())
        for slot, ((home, away), score) in enumerate(zip(pairs, scores, strict=True), start=1)
    )
    setback = Setback((2,), short=(1 + number % 3,))
    return Event(GAMES, ("A", "B", "C"), ("", ""), 1, "Game", assignments=games, setback=setback, played=2)


def _circuit(draw: random.Random, number: int) -> Event:
    """Three groups at three stations, in some order."""
    order = draw.sample((1, 2, 3), 3)
    visits = sorted((slot, 1 + (slot + group) % 3, order[group]) for slot in (1, 2, 3) for group in range(3))
    turns = tuple(Assignment(slot, station, (group,)) for slot, station, group in visits)
    asked, places = Asked(order="balanced"), (f"Task {number}", "", "")
    return Event(STATIONS, ("A", "B", "C"), places, 2, "Game", asked=asked, assignments=turns)


def _ladder(*tasks: str) -> Lever:
    """What became of a ladder: one lever, its settings called by their numbers."""
    return Lever("task", tuple(Setting(f"step {place}", task) for place, task in enumerate(tasks, start=1)))


def _ball() -> Lever:
    """A lever of a kind, with what its settings need."""
    settings = (
        Setting("large", "large soft ball", (Needed("large ball"),)),
        Setting("small", "", (Needed("small ball", each=True), Needed("hoop", 2))),
    )
    return Lever("ball", settings, "equipment")


def _round(key: RoundKey, students: list[str]) -> Round:
    groups = tuple(
        Group(chr(ord("A") + pair), tuple(students[2 * pair : 2 * pair + 2])) for pair in range(_STUDENTS // 2)
    )
    return Round(key, groups, planned=groups[::-1])


def rich_state() -> ClassRecord:
    """A record with something in every table and every column of a class file, and a lesson that ended early."""
    record = state(3)
    students = list(record.roster.students)
    students[0] = replace(students[0], size_band="S", availability="aside", ratings={"throw": 2.5, "catch": 4.0})
    students[-1] = replace(students[-1], last_lesson=4)
    rounds = list(record.plan.rounds)
    with_roles = tuple(replace(group, roles=("coach", "learner")) for group in rounds[0].groups)
    rounds[0] = replace(rounds[0], groups=with_roles, planned=with_roles, pinned=True, ran=True)
    rounds[1] = replace(rounds[1], planned=rounds[1].groups, pinned=True)
    day, circuit = record.events
    scored = replace(day.assignments[0], score=Score(7, 5, 1.5, 2.5, 0.5, 3.0, 2, 1))
    day = replace(
        day.with_assignment(scored),
        asked=Asked(2, 6, "fair", "rotate"),
        timing=Timing(5.5, 1.0),
        method="circle",
        called=("Red", "", "Foxes"),
        across=(1, 3),
        setback=Setback((2,), (1,), (3,), 2),
        loans=((3, 3, 2),),
    )
    asked = Asked(slots=3, order="balanced")
    back = Setback((2,))
    circuit = replace(circuit, asked=asked, timing=Timing(4.0, 0.5), method="square", played=1, setback=back)
    first, *others = record.unit.lessons
    passing, game = first.activities
    passing = replace(passing, aim="coaching", minutes=4.5, strand="throw", min_gap=0.5, max_gap=2.0, caution="contact")
    game = replace(game, aim="balanced", groups=None, strand="throw", sides="5+4", edge=25)
    later = (Absence(4, "003", "away", 1, "late", 2), Absence(6, "004", "aside", 2, "scorer"))
    whole = replace(
        record,
        roster=Roster(tuple(students), ("throw", "catch")),
        unit=Unit((replace(first, activities=(passing, game)), *others)),
        requests=(*record.requests, Request("together", "001", "012", 1, 5)),
        absences=(*record.absences, *later),
        plan=Plan(tuple(rounds)),
        settings=Settings("even-teams", "strong", 8.0, 0.8, (("weak", 1.0), ("very good", 4.5))),
        events=(day, circuit),
        points=Points(2, 1, 0, ("points", "head to head")),
        results=(*record.results, TaskResult(RoundKey(2, 1, 1), "C", "hard", points=9, lost=5)),
        challenges=(
            *record.challenges,
            Challenge("Game", (_ball(),), "danger zone 5", "Keep out of the red zone: it takes 5.", True),
        ),
        cupboard=(Store("small ball", 8), Store("hoop", 6)),
        adaptations=(Adaptation("003", "always", "large ball"), Adaptation("005", "not at", "2")),
        learnt=(Learnt("001", "throw", 2.0, 2.5, 2, 1), *record.learnt),
        past=(replace(record.past[0], groups=with_roles),),
    )
    return held_up_to(whole, 5, 2, 6)
