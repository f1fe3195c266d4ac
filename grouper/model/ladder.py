"""One task from easier to harder: the steps of a ladder."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.errors import InputError
from grouper.model.texts import check_length
from grouper.words import folded

ALONG = ("space", "target", "equipment", "movement", "action", "scoring")
"""What a step changes: how large the space, what to aim at, with what, how to move, what to do, how points are won."""


MOST_OF_TASK = 500


@dataclass(frozen=True)
class Step:
    """A step: what it changes (one of ALONG, or empty for the task as it is), and the task in the teacher's words."""

    along: str
    task: str

    def __post_init__(self) -> None:
        if self.along not in ("", *ALONG):
            raise InputError("a step changes {known:or} or nothing, not '{along}'", known=ALONG, along=self.along)
        if not self.task.strip():
            raise InputError("a step needs a task in words")
        check_length(self.task, "a task", MOST_OF_TASK)


@dataclass(frozen=True)
class Ladder:
    """The steps for an activity, by its name, from the easiest to the hardest."""

    activity: str
    steps: tuple[Step, ...]

    def __post_init__(self) -> None:
        if not self.activity.strip():
            raise InputError("a ladder needs the name of the activity that it is for")
        check_length(self.activity, "the name of an activity")
        if len(self.steps) < 2:
            raise InputError(
                "the ladder for '{activity}' has {count} step",
                "give it two or more",
                activity=self.activity,
                count=len(self.steps),
            )

    def fits(self, activity: str) -> bool:
        """Whether it is for an activity with this name, upper and lower case and spaces alike."""
        return folded(self.activity) == folded(activity)
