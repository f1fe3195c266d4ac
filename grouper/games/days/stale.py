"""Play that no longer goes with the groups of its activity, because those were made anew since."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.games.days.groups import labels_of
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey


def round_of(record: ClassRecord, day: GamesDay | CircuitDay) -> Round | None:
    """The round whose groups play, or None where the lesson, the activity or its groups are no more."""
    for lesson in record.unit.lessons:
        names = [activity.name for activity in lesson.activities]
        if lesson.number == day.lesson and day.activity in names:
            return record.plan.by_key.get(RoundKey(day.lesson, names.index(day.activity) + 1, day.round))
    return None


def stale_play(record: ClassRecord, lesson: int) -> Iterator[str]:
    """A sentence for each day of games and each circuit of a lesson that has other groups now, or none at all."""
    for day in record.games:
        if day.lesson == lesson and day.teams != _labels(record, day):
            yield f"The games of '{day.activity}' are for other teams than there are now; plan them anew: grouper games"
    for circuit in record.circuits:
        if circuit.lesson == lesson and circuit.groups != _labels(record, circuit):
            yield (
                f"The stations of '{circuit.activity}' are for other groups than there are now; "
                "plan them anew: grouper stations"
            )


def _labels(record: ClassRecord, day: GamesDay | CircuitDay) -> tuple[str, ...]:
    round_ = round_of(record, day)
    return labels_of(round_.groups) if round_ else ()
