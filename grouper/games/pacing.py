"""How many slots fit in the minutes there are, and when each starts."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError


@dataclass(frozen=True)
class Pacing:
    """The minutes of a slot, whole or not: play (or work at a station), then the change to the next."""

    play: float
    change: float = 0.0

    def __post_init__(self) -> None:
        if not self.play > 0:
            raise InputError(f"a slot of {self.play:g} minutes is no time to play; give more than 0 minutes")
        if not self.change >= 0:
            raise InputError(f"a change cannot take {self.change:g} minutes; give 0 or more")

    def slots_in(self, minutes: float) -> int:
        """How many slots fit, the last without a change after it.

        >>> Pacing(play=6, change=2).slots_in(38)
        5
        """
        if not minutes > 0:
            raise InputError(f"there is no playing in {minutes:g} minutes; give more than 0 minutes")
        # A hundred-millionth of a slot forgives the rounding of decimal fractions such as 0.1.
        return int((minutes + self.change) / (self.play + self.change) + 1e-8)

    def minutes_for(self, slots: int) -> float:
        """The minutes that so many slots take."""
        return slots * self.play + max(0, slots - 1) * self.change

    def start_of(self, slot: int) -> float:
        """Minutes from the beginning to the start of a slot, counted from 1."""
        return (slot - 1) * (self.play + self.change)


def longest_play(minutes: float, slots: int, change: float = 0.0) -> Pacing:
    """The pacing with the most play in each of ``slots`` slots that fits in the minutes.

    >>> longest_play(40, slots=6, change=2)
    Pacing(play=5.0, change=2)
    """
    if slots < 1:
        raise InputError(f"{slots} slots have no length; give at least 1")
    return Pacing((minutes - (slots - 1) * change) / slots, change)
