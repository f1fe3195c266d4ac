"""How a task went for a group in a round, as the teacher saw it."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.texts import MOST_NUMBER, check_number
from grouper.model.unit import RoundKey

FELT = ("", "easy", "right", "hard")
"""Nothing said, too easy, right, too hard."""


@dataclass(frozen=True)
class TaskResult:
    """How the task of a group went.

    Parameters
    ----------
    key, label
        The round, and the group's label in it.
    felt
        One of FELT: the teacher's quick word.
    hits, tries
        Successes and attempts, where they were counted; both or neither.
    step
        The step of the ladder that the group worked at, from 1 for the easiest; None where it had none.
    """

    key: RoundKey
    label: str
    felt: str = ""
    hits: int | None = None
    tries: int | None = None
    step: int | None = None

    def __post_init__(self) -> None:
        if self.felt not in FELT:
            raise InputError("a task was easy, right or hard for a group, not '{felt}'", felt=self.felt)
        if (self.hits is None) != (self.tries is None):
            raise InputError("successes and attempts go together; give both, such as 7/10")
        if self.hits is not None and self.tries is not None and not 0 <= self.hits <= self.tries:
            raise InputError("{hits} of {tries} attempts cannot have succeeded", hits=self.hits, tries=self.tries)
        check_number(self.tries, "the number of attempts", 0, MOST_NUMBER)
        if not self.felt and not self.tries:
            raise InputError("say how it went: easy, right or hard, or successes of attempts such as 7/10")
        if self.step is not None and self.step < 1:
            raise InputError("steps of a ladder are counted from 1, got {step}", step=self.step)
