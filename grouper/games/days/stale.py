"""Play that no longer goes with the groups of its activity, because those were made anew since."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.words import Remedy, Said


def round_of(record: ClassRecord, day: GamesDay | CircuitDay) -> Round | None:
    """The round whose groups play, or None where the lesson, the activity or its groups are no more."""
    key = record.unit.key_of(day.lesson, day.activity, day.round)
    return record.plan.by_key.get(key) if key else None


def goes_with(round_: Round, labels: Iterable[str]) -> bool:
    """Whether play is for the groups of a round: the same labels, in whatever order they stood when it was planned."""
    return {group.label for group in round_.groups} == set(labels)


def stale_play(record: ClassRecord, lesson: int) -> Iterator[Said]:
    """A word on each day of games and each circuit of a lesson that has other groups now, or none at all."""
    for day in record.games:
        if day.lesson == lesson and _is_stale(record, day, day.teams):
            yield Said(
                "The games of '{activity}' are for other teams than there are now",
                Remedy.PLAN_GAMES,
                {"activity": day.activity},
            )
    for circuit in record.circuits:
        if circuit.lesson == lesson and _is_stale(record, circuit, circuit.groups):
            yield Said(
                "The stations of '{activity}' are for other groups than there are now",
                Remedy.PLAN_STATIONS,
                {"activity": circuit.activity},
            )


def _is_stale(record: ClassRecord, day: GamesDay | CircuitDay, labels: tuple[str, ...]) -> bool:
    round_ = round_of(record, day)
    return round_ is None or not goes_with(round_, labels)
