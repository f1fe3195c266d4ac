"""The stations of a lesson for the teacher: who is where when, what is done there, and what could go round."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.stations_view import GroupWay, stations_view
from grouper.faces.wording.play import circuit_in_words, length_in_words
from grouper.games.days.groups import round_meant
from grouper.games.days.stale import goes_with, round_of
from grouper.model.circuit_day import CircuitDay
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class Station:
    """A station by number and name; ``on`` where it is open."""

    number: int
    name: str
    on: bool


@dataclass(frozen=True)
class CircuitView:
    """The circuit of an activity; ``played`` are the choices for how many slots are over.

    ``too_long`` says so where it takes longer than the time there is.
    """

    activity: str
    heading: str
    begins: tuple[str, ...]
    ways: tuple[GroupWay, ...]
    stations: tuple[Station, ...]
    stale: bool
    too_long: str
    played: tuple[int, ...]


@dataclass(frozen=True)
class CircuitsView:
    """The stations of a lesson; ``activities`` are those whose groups could go round, and how many groups they have."""

    lesson: int
    date: str
    taught: bool
    circuits: tuple[CircuitView, ...]
    activities: tuple[tuple[str, int], ...]


def circuits_view(record: ClassRecord, lesson: int) -> CircuitsView:
    """The stations of a lesson (InputError where there is no such lesson)."""
    circuits = tuple(_circuit(record, day) for day in record.circuits if day.lesson == lesson)
    taught = lesson in record.taught
    activities = () if taught or not record.plan.of_lesson(lesson) else tuple(_activities(record, lesson))
    return CircuitsView(lesson, record.lesson(lesson).date, taught, circuits, activities)


def _activities(record: ClassRecord, lesson: int) -> list[tuple[str, int]]:
    """Those with fewer groups first: a circuit of fifteen pairs is rare."""
    activities = {activity.name: activity for activity in reversed(record.lesson(lesson).activities)}
    counts = [(name, len(round_meant(record, lesson, activity).groups)) for name, activity in activities.items()]
    return sorted((one for one in counts if one[1] > 1), key=lambda one: one[1])


def _circuit(record: ClassRecord, day: CircuitDay) -> CircuitView:
    view, round_ = stations_view(day, record), round_of(record, day)
    return CircuitView(
        day.activity,
        circuit_in_words(day),
        view.begins,
        view.ways,
        tuple(Station(card.station, card.name, card.station not in day.closed) for card in view.cards),
        round_ is None or not goes_with(round_, day.groups),
        length_in_words(record, day),
        tuple(range(day.played, day.last_slot)),
    )
