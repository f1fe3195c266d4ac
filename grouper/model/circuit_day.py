"""The stations of one activity of a lesson, as they are kept: who works where and when, and what was closed."""

from __future__ import annotations

from dataclasses import dataclass, field

from grouper.errors import InputError
from grouper.model.texts import check_length
from grouper.model.timing import Timing


@dataclass(frozen=True)
class CircuitDay:
    """The circuit of an activity.

    Parameters
    ----------
    lesson, activity
        The lesson's number and the activity's name.
    round
        The round of the activity whose groups go round.
    groups
        Labels of the groups; group 1 is the first.
    stations
        Names of the stations, empty where one has none; station 1 is the first.
    visits
        Slot, station and group, all from 1, in that order.
    slots
        Most slots as asked for, None for one a station.
    order
        A word of ``grouper.games.circuit``.
    timing
        How long a slot is.
    method
        The construction that the circuit came from.
    played
        How many slots were over when the rest was last planned.
    closed
        Stations that are closed after those.
    """

    lesson: int
    activity: str
    round: int
    groups: tuple[str, ...]
    stations: tuple[str, ...]
    visits: tuple[tuple[int, int, int], ...]
    slots: int | None = None
    order: str = "balanced"
    timing: Timing = field(default_factory=Timing)
    method: str = ""
    played: int = 0
    closed: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        for called in self.stations:
            check_length(called, "the name of a station")
        if len(set(self.visits)) < len(self.visits):
            raise InputError("a group is twice at a station in one slot")
        for _, station, group in self.visits:
            if not (1 <= station <= len(self.stations) and 1 <= group <= len(self.groups)):
                raise InputError(
                    "there is no station {station} or no group {group} in this circuit", station=station, group=group
                )

    @property
    def key(self) -> tuple[int, str]:
        """Lesson and activity."""
        return self.lesson, self.activity

    @property
    def last_slot(self) -> int:
        """The last slot with work."""
        return max((slot for slot, _, _ in self.visits), default=0)
