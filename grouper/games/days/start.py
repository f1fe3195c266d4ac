"""A day of games or a circuit is planned, for mere numbers or for the groups of an activity."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from grouper.games.asked import Duty, GamesTask, Order, require
from grouper.games.circuit import CircuitTask
from grouper.games.circuits import plan_circuit
from grouper.games.days.duty import turned_to_even_duty
from grouper.games.days.groups import activity_meant, labels_of, round_meant
from grouper.games.days.keep import NOWHERE, Place, StationOrder, kept_circuit, kept_games
from grouper.games.days.time_given import TimeGiven
from grouper.games.plan import plan_games
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord
from grouper.words import Remedy


@dataclass(frozen=True)
class GamesWish:
    """What a teacher asks for: courts, how often every two meet (None: until time is up), order, duty, and the time."""

    courts: int
    legs: int | None = 1
    order: Order = "breaks"
    duty: Duty = "spare"
    time: TimeGiven = field(default_factory=TimeGiven)


@dataclass(frozen=True)
class CircuitWish:
    """Names of the stations (empty where one has none), the order of the stations, and the time."""

    stations: tuple[str, ...]
    order: StationOrder = "balanced"
    time: TimeGiven = field(default_factory=TimeGiven)


def games_for(labels: tuple[str, ...], wish: GamesWish, place: Place = NOWHERE) -> GamesDay:
    """A day of games for teams with these labels (InputError where none can be played like this)."""
    task = GamesTask(len(labels), wish.courts, wish.legs, wish.time.slots, wish.order, wish.duty)
    schedule = plan_games(task)
    return kept_games(schedule, labels, wish.time.timing(schedule.slots), place)


def games_of_class(record: ClassRecord, labels: tuple[str, ...], wish: GamesWish, place: Place) -> GamesDay:
    """A day of games for groups of a class, duty falling to those who had least of it (InputError as ``games_for``)."""
    return turned_to_even_duty(record, games_for(labels, wish, place))


def circuit_for(labels: tuple[str, ...], wish: CircuitWish, place: Place = NOWHERE) -> CircuitDay:
    """A circuit for groups with these labels (InputError where none can go round like this)."""
    schedule = plan_circuit(CircuitTask(len(labels), len(wish.stations), wish.time.slots, wish.order))
    return kept_circuit(schedule, labels, wish.stations, wish.time.timing(schedule.slots), place)


def place_and_labels(
    record: ClassRecord, lesson: int, activity: str | None, number: int
) -> tuple[Place, tuple[str, ...]]:
    """Where play happens and the labels of the groups that play, in the order of team numbers.

    Raises
    ------
    InputError
        There is no such lesson, activity or round, it has no groups yet, or the lesson has been taught.
    """
    meant = activity_meant(record, lesson, activity)
    round_ = round_meant(record, lesson, meant, number)
    record.check_open(lesson)
    return Place(lesson, meant.name, number), labels_of(round_.groups)


def in_its_minutes(record: ClassRecord, place: Place, time: TimeGiven) -> TimeGiven:
    """The time given; where no minutes are, those of the activity, if the unit says how long it is."""
    minutes = activity_meant(record, place.lesson, place.activity).minutes
    return time if time.minutes is not None else replace(time, minutes=minutes)


def no_scores_lost(record: ClassRecord, place: Place) -> None:
    """Raise InputError where planning games anew would lose results."""
    for day in record.games:
        if day.key == (place.lesson, place.activity):
            require(
                not day.scored,
                "'{activity}' in lesson {lesson} has results already",
                Remedy.PLAN_REST,
                activity=place.activity,
                lesson=place.lesson,
            )
