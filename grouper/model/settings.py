"""What a teacher has chosen for a class: what goes first where aims pull apart, and how much closeness counts."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError

PREFERENCES = ("", "new-partners", "rather-new-partners", "rather-even-teams", "even-teams")
"""The usual order, and four that tilt it: new partners before even teams, or teams as even as can be."""

CLOSENESS = ("mild", "strong", "off")
"""How much more a meeting in a small group counts than one in a large team."""


@dataclass(frozen=True)
class Settings:
    """The choices; each is one of the words above."""

    prefer: str = ""
    closeness: str = "mild"

    def __post_init__(self) -> None:
        if self.prefer not in PREFERENCES:
            raise InputError(f"'{self.prefer}' is no preference; use one of {', '.join(PREFERENCES[1:])}, or nothing")
        if self.closeness not in CLOSENESS:
            raise InputError(f"'{self.closeness}' is no closeness; use {', '.join(CLOSENESS)}")
