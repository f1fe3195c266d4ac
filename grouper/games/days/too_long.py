"""Play that takes longer than the time there is for it."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.games.pacing import Pacing
from grouper.model.circuit_day import CircuitDay
from grouper.model.games_day import GamesDay
from grouper.model.record import ClassRecord


@dataclass(frozen=True)
class TooLong:
    """The minutes that play takes and those there are; how many slots are planned, over, and fit."""

    takes: float
    minutes: float
    slots: int
    played: int
    fit: int

    @property
    def slots_left(self) -> int:
        """How many of the slots that are not over fit."""
        return max(0, self.fit - self.played)


def too_long(
    record: ClassRecord, day: GamesDay | CircuitDay, before: GamesDay | CircuitDay | None = None
) -> TooLong | None:
    """By how much play is longer than the time there is; None where it fits, or nothing is known of the time.

    Parameters
    ----------
    record : ClassRecord
        Its unit says how many minutes the activity has.
    day : GamesDay or CircuitDay
    before : GamesDay or CircuitDay, optional
        The same day before its rest was planned anew; its minutes count where the unit says nothing.
    """
    minutes = _minutes_of(record, day)
    if minutes is None and before is not None:
        minutes = _takes(before)
    takes = _takes(day)
    if minutes is None or takes is None or takes <= minutes + 1e-6:
        return None
    return TooLong(takes, minutes, _slots(day), day.played, _pacing(day).slots_in(minutes))


def _minutes_of(record: ClassRecord, day: GamesDay | CircuitDay) -> float | None:
    key = record.unit.key_of(day.lesson, day.activity, day.round)
    return record.unit.activity(key).minutes if key else None


def _slots(day: GamesDay | CircuitDay) -> int:
    return day.slots if isinstance(day, GamesDay) else day.last_slot


def _pacing(day: GamesDay | CircuitDay) -> Pacing:
    return Pacing(day.timing.play or 0, day.timing.changeover)


def _takes(day: GamesDay | CircuitDay) -> float | None:
    """The minutes from the first slot to the last; None where the length of a slot is not known."""
    return None if day.timing.play is None or not _slots(day) else _pacing(day).minutes_for(_slots(day))
