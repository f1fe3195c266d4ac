"""A robot with a fast thumb: it looks where a name is, and taps there a moment later, as a hand on its way does.

What it meant is counted by itself: after the last tap every student must be as the taps on that name say, and each tap
must have met the name that it was meant for.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from playwright.sync_api import Page

from grouper.model.record import ClassRecord

PACE = 0.12
"""Seconds from one tap to the next."""

SEEN = """
() => [...document.querySelectorAll('.name:not(:disabled)')].flatMap((tile) => {
  const box = tile.getBoundingClientRect(), x = box.x + box.width / 2, y = box.y + box.height / 2;
  const hit = document.elementFromPoint(x, y);
  return hit && hit.closest('.name') === tile ? [{ id: tile.value, x, y }] : [];
})
"""
WATCH = """
() => {
  window.met = [];
  document.addEventListener('click', (event) => {
    const tile = event.target.closest('.name');
    window.met.push(tile ? tile.value : '');
  }, true);
}
"""


@dataclass
class Thumb:
    """A robot before one window; ``meant`` are the students of its taps in order, ``expected`` what each should be."""

    page: Page
    touch: bool
    draw: random.Random
    expected: dict[str, str] = field(default_factory=dict)
    meant: list[str] = field(default_factory=list)
    moved: int = 0

    def __post_init__(self) -> None:
        self.page.evaluate(WATCH)

    def run(self, taps: int, mine: Callable[[str], bool] = lambda student: True, pace: float = PACE) -> None:
        """So many taps on names in sight, for which ``mine`` holds, at an even pace."""
        next_at = time.monotonic()
        for _ in range(taps):
            if len(self.meant) % 40 == 39:
                self._scroll()
            place = self.draw.choice([tile for tile in self.page.evaluate(SEEN) if mine(tile["id"])])
            next_at = max(next_at + pace, time.monotonic())
            time.sleep(max(0.0, next_at - time.monotonic()))
            self._tap(place)

    def _tap(self, place: dict[str, float]) -> None:
        if self.touch:
            self.page.touchscreen.tap(place["x"], place["y"])
        else:
            self.page.mouse.click(place["x"], place["y"])
        student = str(place["id"])
        self.meant.append(student)
        self.expected[student] = "" if self.expected.get(student) else "away"

    def _scroll(self) -> None:
        self.page.evaluate(
            """place => { const tiles = document.querySelectorAll('.name');
                          tiles[Math.floor(place * tiles.length)].scrollIntoView({ block: 'center' }); }""",
            self.draw.random(),
        )
        time.sleep(0.3)

    def settle(self, patience: float = 60.0) -> None:
        """Wait until every tap has come and is answered."""
        self.page.wait_for_function("count => window.met.length >= count", arg=len(self.meant), timeout=patience * 1000)
        self.page.wait_for_function(
            "() => !document.querySelector('.saving') && !waiting.length && !quiet.busy", timeout=patience * 1000
        )

    @property
    def wrong(self) -> int:
        """Taps that met another name, or none."""
        met = self.page.evaluate("() => window.met")
        return sum(one != other for one, other in zip(self.meant, met, strict=False)) + abs(len(self.meant) - len(met))


def lost(record: ClassRecord, lesson: int, *thumbs: Thumb) -> list[str]:
    """Students who are not as the taps on their names say."""
    expected = {student: state for thumb in thumbs for student, state in thumb.expected.items()}
    found = {student: (record.absence(student, lesson) is not None) for student in expected}
    return [student for student, state in expected.items() if found[student] != bool(state)]


def with_long_names(record: ClassRecord) -> ClassRecord:
    """The class with names that fill a tile: hyphens, several parts, one word that fits no line."""
    from dataclasses import replace

    given = (
        "Maximiliana-Alexandrina",
        "Oluwatobiloba",
        "Bartholomäus Theophil",
        "Krzysztofina",
        "Wilhelmina-Josephine",
    )
    students = tuple(
        replace(student, name=f"{given[place % len(given)]} Querengässer-{student.name.split()[-1]}")
        for place, student in enumerate(record.roster.students)
    )
    return replace(record, roster=replace(record.roster, students=students))
