"""Stations on the page, put into the verbs of play: planned for the groups of an activity, carried on, taken off."""

from __future__ import annotations

from dataclasses import replace

from grouper.errors import InputError
from grouper.games.days.keep import circuit_meant, with_circuit
from grouper.games.days.resume import CircuitNews, resumed_circuit, turned
from grouper.games.days.start import CircuitWish, circuit_for, in_its_minutes, place_and_labels
from grouper.games.days.time_given import TimeGiven
from grouper.games.days.time_left import TimeLeft
from grouper.model.record import ClassRecord

Done = tuple[ClassRecord, str]

MOST = 60
"""More stations than so many are a slip of the hand."""


def planned(record: ClassRecord, lesson: int, activity: str, names: list[str], count: int, time: TimeGiven) -> Done:
    """Stations for the groups of an activity, in the place of those there were.

    Parameters
    ----------
    names
        What is done at the first stations.
    count
        How many there are; as many as names where it is less.

    Raises
    ------
    InputError
        The lesson has been taught, or nobody can go round like this.
    """
    number = max(count, len(names))
    if not 1 <= number <= MOST:
        raise InputError(f"say what is done at each station, a line each, or how many there are, up to {MOST}")
    place, labels = place_and_labels(record, lesson, activity, 1)
    stations = (*names, *[""] * (number - len(names)))
    wish = CircuitWish(stations, time=in_its_minutes(record, place, time))
    return with_circuit(record, circuit_for(labels, wish, place)), f"stations of '{activity}' in lesson {lesson}"


def gone_on(
    record: ClassRecord, lesson: int, activity: str, played: int, open_stations: frozenset[int], slots: int | None
) -> Done:
    """The slots after those that are over planned anew, with the stations that are open.

    Raises
    ------
    InputError
        The lesson has been taught, or no station is left.
    """
    record.check_open(lesson)
    day = circuit_meant(record, lesson, activity)
    stations = turned(len(day.stations), open_stations, day.closed)
    news = CircuitNews(stations, TimeLeft(slots), max(played, day.played))
    what = f"stations of '{activity}' in lesson {lesson} go on after slot {news.played}"
    return with_circuit(record, resumed_circuit(day, news)), what


def taken_off(record: ClassRecord, lesson: int, activity: str) -> Done:
    """No stations for an activity any more (InputError where it has none, or the lesson has been taught)."""
    record.check_open(lesson)
    day = circuit_meant(record, lesson, activity)
    kept = tuple(other for other in record.circuits if other.key != day.key)
    return replace(record, circuits=kept), f"no stations for '{activity}' in lesson {lesson}"
