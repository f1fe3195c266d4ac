"""What a teacher has chosen for a class: what goes first, what closeness counts, what ratings in words are worth."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.texts import MOST_NUMBER, MOST_OF_TITLE

PREFERENCES = ("", "new-partners", "rather-new-partners", "rather-even-teams", "even-teams")
"""The usual order, and four that tilt it: new partners before even teams, or teams as even as can be."""

CLOSENESS = ("mild", "strong", "off")
"""How much more a meeting in a small group counts than one in a large team."""


@dataclass(frozen=True)
class Settings:
    """The choices.

    Parameters
    ----------
    prefer, closeness
        One of the words above.
    half_life
        After so many weeks a meeting of an earlier unit counts half; 0 for earlier units not to count.
    success
        The share of attempts at a task that should succeed, from 0.5 to 0.95: three quarters keep a task worth
        doing (rule of thumb, common practice).
    scale
        What each word of a rating is worth, as in good = 4; empty where ratings are numbers.
    """

    prefer: str = ""
    closeness: str = "mild"
    half_life: float = 12.0
    success: float = 0.75
    scale: tuple[tuple[str, float], ...] = ()

    def __post_init__(self) -> None:
        if self.prefer not in PREFERENCES:
            raise InputError(f"'{self.prefer}' is no preference; use one of {', '.join(PREFERENCES[1:])}, or nothing")
        if self.closeness not in CLOSENESS:
            raise InputError(f"'{self.closeness}' is no closeness; use {', '.join(CLOSENESS)}")
        if not 0 <= self.half_life <= 1000:
            raise InputError(f"the half-life is {self.half_life:g} weeks; use 0 (earlier units do not count) to 1000")
        if not 0.5 <= self.success <= 0.95:
            raise InputError(f"the share of success is {self.success:g}; use 0.5 to 0.95")
        for word, worth in self.scale:
            if not 0 < len(word) <= MOST_OF_TITLE or set(word) & set("=,;"):
                raise InputError(f"'{word}' is no word of a scale; use letters, without = , ;")
            if not -MOST_NUMBER <= worth <= MOST_NUMBER:
                raise InputError(f"'{word}' is worth {worth:g} on the scale; use {-MOST_NUMBER:,} to {MOST_NUMBER:,}")
