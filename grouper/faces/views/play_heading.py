"""What stands above every sheet on play: what, when, and how long a slot is."""

from __future__ import annotations

from dataclasses import dataclass

from grouper.faces.wording.words import number_in_words
from grouper.games.pacing import Pacing
from grouper.model.record import ClassRecord
from grouper.model.timing import Timing


@dataclass(frozen=True)
class PlayHeading:
    """Name of the activity, number of the lesson (0 for none), its date, the length of a slot; empty for unknown."""

    title: str
    lesson: int = 0
    date: str = ""
    length: str = ""


def play_heading(record: ClassRecord | None, lesson: int, activity: str, usual: str, timing: Timing) -> PlayHeading:
    """The heading of an activity, or of play that belongs to no class, which is called as is usual."""
    date = record.lesson(lesson).date if record is not None and lesson else ""
    return PlayHeading(activity or usual, lesson, date, _length(timing))


def _length(timing: Timing) -> str:
    return "" if timing.play is None else f"{_whole_or_half(timing.play)} min each"


def begins(timing: Timing, slot: int) -> str:
    """When a slot begins, in minutes from the first; empty where it is not known.

    >>> begins(Timing(5, 2), 3)
    'min 14'
    """
    if timing.play is None:
        return ""
    return f"min {_whole_or_half(Pacing(timing.play, timing.changeover).start_of(slot))}"


def _whole_or_half(minutes: float) -> str:
    """Minutes rounded down to a half: nobody plays to the second."""
    return number_in_words(int(2 * minutes + 1e-6) / 2, 1)
