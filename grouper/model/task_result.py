"""What a teacher says of a group's task in a round: which one it is to be, and how it went."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.levers import At
from grouper.model.texts import MOST_NUMBER, check_number
from grouper.model.unit import RoundKey

FELT = ("", "easy", "right", "hard")
"""Nothing said, too easy, right, too hard."""


@dataclass(frozen=True)
class TaskResult:
    """How the task of a group went, and how many points it won.

    Parameters
    ----------
    key, label
        The round, and the group's label in it.
    felt
        One of FELT: the teacher's quick word.
    hits, tries
        Successes and attempts, where they were counted; both or neither.
    at
        The task that the group worked at, lever by lever; empty where it is not known.
    points, lost
        Points that the group won by the activity's way of scoring, None where none were counted, and those it lost.
    """

    key: RoundKey
    label: str
    felt: str = ""
    hits: int | None = None
    tries: int | None = None
    at: At = ()
    points: int | None = None
    lost: int = 0

    def __post_init__(self) -> None:
        if self.felt not in FELT:
            raise InputError("a task was easy, right or hard for a group, not '{felt}'", felt=self.felt)
        if (self.hits is None) != (self.tries is None):
            raise InputError("successes and attempts go together; give both, such as 7/10")
        if self.hits is not None and self.tries is not None and not 0 <= self.hits <= self.tries:
            raise InputError("{hits} of {tries} attempts cannot have succeeded", hits=self.hits, tries=self.tries)
        check_number(self.tries, "the number of attempts", 0, MOST_NUMBER)
        check_number(self.points, "points", 0, MOST_NUMBER)
        check_number(self.lost, "points lost", 0, MOST_NUMBER if self.points is not None else 0)
        if not self.tells_of_ability and self.points is None:
            raise InputError("say how it went: easy, right or hard, or successes of attempts such as 7/10")
        check_at(self.at)

    @property
    def tells_of_ability(self) -> bool:
        """Whether anything is learnt of it: points alone, without attempts, are of no known share."""
        return bool(self.felt or self.tries)

    @property
    def net(self) -> int | None:
        """Points won less points lost; None where none were counted."""
        return None if self.points is None else self.points - self.lost


@dataclass(frozen=True)
class ChosenTask:
    """A task that goes before the suggested one: round, the group's label in it, the setting of each lever, and for
    whom it was chosen (ids)."""

    key: RoundKey
    label: str
    at: At
    members: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_at(self.at)


def check_at(at: At) -> None:
    """Raise InputError where a setting is none: they are counted from 1, and 0 is a lever that was not in play."""
    if any(place < 0 for place in at):
        raise InputError("settings of a lever are counted from 1, got {place}", place=min(at))
