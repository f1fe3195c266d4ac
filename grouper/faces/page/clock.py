"""The clock of a lesson, the same in all windows: on the wall, on the laptop, on phones; kept while the page runs.

A window that turns the clock tells how it stands then, and which state it knew before. Whoever knew an older one is not
heard, and is told the newer: of two thumbs on 'Next' at once one counts, and no round is passed over.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from time import monotonic, time
from typing import Any

from grouper.errors import GrouperError
from grouper.faces.page.kept import Kept
from grouper.faces.views.screen_lesson import Scene, screen_view
from grouper.model.record import ClassRecord

MOST_CLOCKS = 100
A_LESSON = 3 * 3600.0
"""Seconds after the last turn in which a lesson is over: opened anew the next day it starts anew."""

LONGEST_KEY = 60
FAR = 10**14
"""Milliseconds that no time of day has for some thousand years."""


@dataclass(frozen=True)
class Clock:
    """How the clock of a lesson stands; ``serial`` grows with every turn, and is 0 where nobody has turned it.

    ``key`` and ``round`` say which scene is shown. ``end`` is the time of day in ms at which it is over while the clock
    runs, ``left`` the ms left while it stands, None where the scene has no length; ``ended`` says that the lesson is.
    """

    serial: int = 0
    key: str = ""
    round: str = ""
    end: int | None = None
    left: int | None = None
    ended: bool = False

    @staticmethod
    def told(fields: Mapping[str, str]) -> Clock:
        """What a window tells; ``serial`` is the one that it knew."""
        key, round_ = fields.get("key", "")[:LONGEST_KEY], fields.get("round", "")[:LONGEST_KEY]
        end, left = _number(fields.get("end", "")), _number(fields.get("left", ""))
        return Clock(_number(fields.get("serial", "")) or 0, key, round_, end, left, fields.get("ended") == "true")


def _number(text: str) -> int | None:
    return min(int(text), FAR) if text.isdecimal() and text.isascii() and len(text) < 16 else None


class Clocks:
    """The clocks of lessons, by class and lesson."""

    def __init__(self) -> None:
        self._clocks: Kept[tuple[str, int], tuple[Clock, float]] = Kept(MOST_CLOCKS)

    def of(self, name: str, lesson: int) -> dict[str, Any]:
        """How a clock stands, with the time of day here, as other machines have another."""
        return _said(_still(self._clocks.get((name, lesson))))

    def turn(self, name: str, lesson: int, told: Clock) -> dict[str, Any]:
        """How a clock stands after what a window told; ``taken`` says whether that was heard."""

        def turned(kept: tuple[Clock, float] | None) -> tuple[Clock, float]:
            before = _still(kept)
            if told.serial != before.serial:
                return kept or (before, monotonic())
            return replace(told, serial=before.serial + 1), monotonic()

        now = _still(self._clocks.change((name, lesson), turned))
        return {**_said(now), "taken": now == replace(told, serial=told.serial + 1)}


def _still(kept: tuple[Clock, float] | None) -> Clock:
    return kept[0] if kept and monotonic() - kept[1] < A_LESSON else Clock()


def _said(clock: Clock) -> dict[str, Any]:
    return {**asdict(clock), "now": int(1000 * time())}


def scenes_of(record: ClassRecord, lesson: int) -> tuple[Scene, ...]:
    """What the clock goes through in a lesson; nothing where there are no groups, or where it is over."""
    try:
        return () if lesson in record.taught else screen_view(record, lesson).scenes
    except GrouperError:
        return ()
