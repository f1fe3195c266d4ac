"""The step of a ladder that a teacher chose for a group, in the place of the one suggested."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.unit import RoundKey


@dataclass(frozen=True)
class ChosenStep:
    """A choice: the round, the group's label in it, and the step, from 1 for the easiest."""

    key: RoundKey
    label: str
    step: int

    def __post_init__(self) -> None:
        if self.step < 1:
            raise InputError(f"steps of a ladder are counted from 1, got {self.step}")
