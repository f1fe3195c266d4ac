"""The time that a teacher has for games or stations: how many slots fit, or how long each can be."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, inf

from grouper.games.asked import require
from grouper.games.pacing import Pacing, longest_play
from grouper.model.timing import Timing

LEAST_PLAY = 0.1
"""Minutes below which a slot is a slip of the hand."""

HALF = 0.5
"""What fits is rounded down to half minutes, and less than one is no slot."""


@dataclass(frozen=True)
class TimeGiven:
    """Minutes in all, minutes of play in a slot, and minutes of the change between two slots.

    Parameters
    ----------
    minutes : float or None
        All the time there is, ``None`` where it does not matter.
    play : float or None
        Play or work in each slot; ``None`` for as long as fits.
    changeover : float

    Raises
    ------
    InputError
        A number of minutes makes no sense.
    """

    minutes: float | None = None
    play: float | None = None
    changeover: float = 0.0

    def __post_init__(self) -> None:
        Timing(self.play, self.changeover)
        require(
            self.minutes is None or 0 < self.minutes < inf,
            f"there is no playing in {self.minutes or 0:g} minutes; give more than 0 minutes, and an end to them",
        )
        require(
            self.play is None or LEAST_PLAY <= self.play < inf,
            f"a slot of {self.play or 0:g} minutes is no time to play; give {LEAST_PLAY:g} minutes or more",
        )

    @property
    def slots(self) -> int | None:
        """How many slots fit; None where nothing limits them.

        >>> TimeGiven(minutes=38, play=6, changeover=2).slots
        5
        """
        if self.minutes is None or self.play is None:
            return None
        fit = Pacing(self.play, self.changeover).slots_in(self.minutes)
        require(
            fit >= 1, f"no slot of {self.play:g} minutes fits in {self.minutes:g}; give more minutes or shorter slots"
        )
        return fit

    def timing(self, slots: int) -> Timing:
        """How long each of so many slots is; what fits is rounded down to half a minute, as nobody plays to the second.

        >>> TimeGiven(minutes=40, changeover=2).timing(slots=6)
        Timing(play=5.0, changeover=2)
        """
        if self.play is not None or self.minutes is None or not slots:
            return Timing(self.play, self.changeover)
        between = (slots - 1) * self.changeover
        require(
            self.minutes > between,
            f"{slots} slots need {between:g} minutes for the changes alone, and there are {self.minutes:g}; "
            "give more minutes, shorter changes, or the length of a slot",
        )
        play = longest_play(self.minutes, slots, self.changeover).play
        require(
            play >= HALF,
            f"{slots} slots in {self.minutes:g} minutes leave {play:.2g} minutes each; give more minutes, fewer slots, "
            "or the length of a slot",
        )
        return Timing(floor(2 * play + 1e-9) / 2, self.changeover)
