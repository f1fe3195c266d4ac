"""The same hidden class, taught with the real planner, records and suggestions from end to end."""

from __future__ import annotations

import numpy as np
from builders import game, games_of
from hidden_class import SCALE, Array, Balance, HiddenClass, Teams, balance_of

from grouper.learning.suggest import accepted, suggestions
from grouper.model.plan import Round
from grouper.model.play import Event, Score
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import taught
from grouper.planning.plan import plan_unit

STRAND = "throwing"


def record_of(hidden: HiddenClass, ratings: Array) -> ClassRecord:
    """The class on file: its students by number, rated in one strand, with a unit of games in even teams."""
    students = tuple(Student(str(n), f"Student {n}", {STRAND: float(rating)}) for n, rating in enumerate(ratings))
    games = Activity("Games", aim="balanced", groups=hidden.world.teams, strand=STRAND)
    unit = Unit(tuple(Lesson(number, (games,)) for number in range(1, hidden.world.lessons + 1)))
    return ClassRecord(Roster(students, (STRAND,)), unit, seed=hidden.seed)


def ratings_of(record: ClassRecord) -> Array:
    """The ratings on the roster, by number."""
    return np.array([student.ratings[STRAND] for student in record.roster.students])


def teams_of(round_: Round) -> Teams:
    """The groups of a round, by number."""
    return [[int(member) for member in group.members] for group in round_.groups]


def unit_taught(hidden: HiddenClass) -> ClassRecord:
    """Lesson by lesson: planned anew, played, closed; every suggestion is accepted."""
    record = record_of(hidden, hidden.guess)
    for lesson in range(1, hidden.world.lessons + 1):
        record = taught(plan_unit(record, effort="quick").record, lesson)
        (round_,) = record.plan.of_lesson(lesson)
        record = record.with_event(_day(hidden, round_))
        record = accepted(record, suggestions(record))
    return record


def _day(hidden: HiddenClass, round_: Round) -> Event:
    labels = tuple(group.label for group in round_.groups)
    teams = teams_of(round_)
    number = {frozenset(team): place for place, team in enumerate(teams, start=1)}
    games = tuple(
        game(
            slot,
            1,
            number[frozenset(int(player.student) for player in played.home)],
            number[frozenset(int(player.student) for player in played.away)],
            score=Score(played.home_points, played.away_points),
        )
        for slot, played in enumerate(hidden.play(teams, round_.key.lesson), start=1)
    )
    return games_of(round_.key.lesson, "Games", labels, 1, games)


def planned_balance(hidden: HiddenClass, ratings: Array) -> Balance:
    """The next unit, planned by some ratings, seen by the truth."""
    kept = np.clip(ratings, SCALE.low, SCALE.high)
    plan = plan_unit(record_of(hidden, kept), effort="quick").plan
    return balance_of(hidden, [teams_of(round_) for round_ in plan.rounds])
