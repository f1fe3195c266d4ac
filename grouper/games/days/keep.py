"""Schedules to what a class record keeps of them, and back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeVar, cast

from grouper.errors import InputError
from grouper.games.asked import Duty, GamesTask, Order
from grouper.games.change import Change
from grouper.games.circuit import CircuitSchedule, CircuitTask, Visit
from grouper.games.game import Game, GameSchedule, Loan
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import Fixture, GamesAsked, GamesDay, Setback
from grouper.model.record import ClassRecord
from grouper.model.timing import Timing
from grouper.words import Remedy

Day = TypeVar("Day", GamesDay, CircuitDay)
StationOrder = Literal["balanced", "rotation"]


@dataclass(frozen=True)
class Place:
    """Where in the unit play happens: lesson, activity by name, and the round whose groups play."""

    lesson: int
    activity: str
    round: int = 1


NOWHERE = Place(0, "")
"""Play that belongs to no class: teams are mere numbers."""


def numbers(count: int) -> tuple[str, ...]:
    """Labels of teams that are mere numbers."""
    return tuple(map(str, range(1, count + 1)))


def kept_games(schedule: GameSchedule, labels: tuple[str, ...], timing: Timing, place: Place = NOWHERE) -> GamesDay:
    """What is kept of a schedule; games in it have no scores yet."""
    task, change = schedule.task, schedule.change
    return GamesDay(
        place.lesson,
        place.activity,
        place.round,
        labels,
        GamesAsked(task.courts, task.legs, task.slots, task.order, task.duty),
        tuple(Fixture(game.slot, game.court, game.home, game.away, game.duty) for game in schedule.games),
        timing,
        schedule.draw,
        schedule.played,
        Setback(change.courts_closed, change.teams_out, change.teams_short, change.slots_left),
        tuple((loan.slot, loan.team, loan.lender) for loan in schedule.loans),
    )


def schedule_of(day: GamesDay) -> GameSchedule:
    """The schedule that a day was kept from."""
    asked = day.asked
    order, duty = cast(Order, asked.order), cast(Duty, asked.duty)
    return GameSchedule(
        GamesTask(len(day.teams), asked.courts, asked.legs, asked.slots, order, duty),
        tuple(Game(f.slot, f.court, f.home, f.away, f.duty) for f in day.fixtures),
        day.draw,
        day.played,
        Change(day.setback.courts_closed, day.setback.teams_out, day.setback.teams_short, day.setback.slots_left),
        tuple(Loan(*loan) for loan in day.loans),
    )


def kept_circuit(
    schedule: CircuitSchedule,
    labels: tuple[str, ...],
    stations: tuple[str, ...],
    timing: Timing,
    place: Place = NOWHERE,
) -> CircuitDay:
    """What is kept of a circuit."""
    return CircuitDay(
        place.lesson,
        place.activity,
        place.round,
        labels,
        stations,
        tuple((visit.slot, visit.station, visit.group) for visit in schedule.visits),
        schedule.task.slots,
        schedule.task.order,
        timing,
        schedule.method,
        schedule.played,
        schedule.closed,
    )


def circuit_of(day: CircuitDay) -> CircuitSchedule:
    """The circuit that a day was kept from."""
    return CircuitSchedule(
        CircuitTask(len(day.groups), len(day.stations), day.slots, cast(StationOrder, day.order)),
        tuple(Visit(*visit) for visit in day.visits),
        day.method,
        day.played,
        day.closed,
    )


def with_games(record: ClassRecord, day: GamesDay) -> ClassRecord:
    """The record with these games in the place of those of the same activity."""
    others = [other for other in record.games if other.key != day.key]
    return replace(record, games=tuple(sorted([*others, day], key=lambda one: one.key)))


def with_circuit(record: ClassRecord, day: CircuitDay) -> ClassRecord:
    """The record with this circuit in the place of the one of the same activity."""
    others = [other for other in record.circuits if other.key != day.key]
    return replace(record, circuits=tuple(sorted([*others, day], key=lambda one: one.key)))


def games_meant(record: ClassRecord, lesson: int, activity: str | None) -> GamesDay:
    """The games of an activity; with no name those of the lesson, where it has games in one activity only."""
    return _meant(record, tuple(day for day in record.games if day.lesson == lesson), activity, "games", lesson)


def circuit_meant(record: ClassRecord, lesson: int, activity: str | None) -> CircuitDay:
    """The stations of an activity; with no name those of the lesson, where it has stations in one activity only."""
    return _meant(record, tuple(day for day in record.circuits if day.lesson == lesson), activity, "stations", lesson)


def _meant(record: ClassRecord, days: tuple[Day, ...], activity: str | None, what: str, lesson: int) -> Day:
    record.lesson(lesson)
    wanted = [day for day in days if activity is None or day.activity.casefold() == activity.casefold()]
    if len(wanted) == 1:
        return wanted[0]
    if not wanted:
        where = f"'{activity}' in lesson {lesson}" if activity else f"lesson {lesson}"
        remedy = Remedy.PLAN_GAMES if what == "games" else Remedy.PLAN_STATIONS
        raise InputError("{where} has no {what} yet", remedy, where=where, what=what)
    names = ", ".join(f"'{day.activity}'" for day in days)
    raise InputError(f"lesson {lesson} has {what} in {len(days)} activities; say which one: {names}")
