"""What students may see of a circuit: labels of groups, stations and times; no name of a student is in it."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.views.play_heading import PlayHeading, begins, play_heading
from grouper.model.circuit_day import CircuitDay
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class StationTurn:
    """A slot at a station: when it begins, and the groups that are there."""

    slot: int
    begins: str
    groups: tuple[str, ...]


@dataclass(frozen=True)
class StationCard:
    """A station: its number, what is done there (empty for not said), and who comes when."""

    station: int
    name: str
    turns: tuple[StationTurn, ...]


@dataclass(frozen=True)
class GroupWay:
    """A group's way: its label and its station in each slot, None where it has none."""

    label: str
    stations: tuple[int | None, ...]


@dataclass(frozen=True)
class StationsView:
    """The circuit of an activity: when slots begin, where each group goes, and who comes to each station."""

    heading: PlayHeading
    begins: tuple[str, ...]
    ways: tuple[GroupWay, ...]
    cards: tuple[StationCard, ...]


def stations_view(day: CircuitDay, record: ClassRecord | None = None) -> StationsView:
    """The allow-listed view of a circuit, of a class or of mere numbers."""
    slots = range(1, day.last_slot + 1)
    heading = play_heading(record, day.lesson, day.activity, "Stations", day.timing)
    at = {(slot, group): station for slot, station, group in day.visits}
    ways = tuple(
        GroupWay(label, tuple(at.get((slot, group)) for slot in slots))
        for group, label in enumerate(day.groups, start=1)
    )
    cards = tuple(_card(day, station) for station in range(1, len(day.stations) + 1))
    return StationsView(heading, tuple(begins(day.timing, slot) for slot in slots), ways, cards)


def _card(day: CircuitDay, station: int) -> StationCard:
    turns = tuple(_turn(day, slot, station) for slot in range(1, day.last_slot + 1))
    return StationCard(station, day.stations[station - 1], turns)


def _turn(day: CircuitDay, slot: int, station: int) -> StationTurn:
    groups = tuple(day.groups[group - 1] for at, place, group in day.visits if (at, place) == (slot, station))
    return StationTurn(slot, begins(day.timing, slot), groups)
