"""News about the time that is left, in slots."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.games.asked import require
from grouper.games.pacing import Pacing
from grouper.model.timing import Timing
from grouper.words import Remedy


@dataclass(frozen=True)
class TimeLeft:
    """What is known of the time from now on; at most one of the three is given.

    Parameters
    ----------
    slots : int or None
        How many more slots can be played.
    minutes : float or None
        How many minutes are left.
    lost : float or None
        How many minutes are lost of those that were left.
    """

    slots: int | None = None
    minutes: float | None = None
    lost: float | None = None

    def __post_init__(self) -> None:
        given = [value for value in (self.slots, self.minutes, self.lost) if value is not None]
        require(len(given) < 2, "slots left, minutes left and minutes lost are one question; give one of them")
        require(all(value >= 0 for value in given), f"there is no time of {min(given, default=0):g}; give 0 or more")

    def slots_left(self, before: int, timing: Timing) -> int:
        """How many slots can still be played.

        Parameters
        ----------
        before : int
            How many could be played until now.
        timing : Timing

        Examples
        --------
        >>> TimeLeft(lost=10).slots_left(5, Timing(play=6, changeover=2))
        3
        """
        if self.slots is not None:
            return self.slots
        if self.minutes is None and self.lost is None:
            return before
        pacing = _pacing(timing)
        minutes = self.minutes if self.minutes is not None else pacing.minutes_for(before) - (self.lost or 0.0)
        return pacing.slots_in(minutes) if minutes > 0 else 0


def _pacing(timing: Timing) -> Pacing:
    if timing.play is None:
        raise InputError("it is not known how long a slot is", Remedy.SAY_SLOTS_LEFT)
    return Pacing(timing.play, timing.changeover)
