"""The step of a ladder that a teacher chose for a group, in the place of the one suggested."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.unit import RoundKey


@dataclass(frozen=True)
class ChosenStep:
    """A choice: the round, the group's label in it, the step (1 is the easiest), and for whom it was made (ids)."""

    key: RoundKey
    label: str
    step: int
    members: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.step < 1:
            raise InputError("steps of a ladder are counted from 1, got {step}", step=self.step)
