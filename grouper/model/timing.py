"""How long a slot is: play or work, then the change to the next."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.texts import MOST_MINUTES, check_number


@dataclass(frozen=True)
class Timing:
    """Minutes of a slot without the change, None where they are not known, and minutes of the change."""

    play: float | None = None
    changeover: float = 0.0

    def __post_init__(self) -> None:
        if self.play is not None and not self.play > 0:
            raise InputError(
                "a slot of {play:g} minutes is no time to play", "give more than 0 minutes", play=self.play
            )
        if not self.changeover >= 0:
            raise InputError(
                "a change cannot take {changeover:g} minutes", "give 0 or more", changeover=self.changeover
            )
        check_number(self.play, "minutes of a slot", 0, MOST_MINUTES)
        check_number(self.changeover, "minutes of a change", 0, MOST_MINUTES)
