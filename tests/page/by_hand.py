"""What a moment costs the hand: taps and keys are counted while a script does what a teacher would.

Seconds are estimated from them by the keystroke-level model (Card, Moran and Newell 1980; its times are from memory:
1.35 s to think before each tap, 1.1 s to point, 0.2 s to press, 0.28 s a key for somebody who types at middling speed).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from playwright.sync_api import Page

from .serving import Served

THINK, POINT, PRESS, KEY = 1.35, 1.1, 0.2, 0.28
PASTE = 2
"""Keys of a paste: one held, one pressed."""


@dataclass
class Hand:
    """A hand on a page."""

    page: Page
    taps: int = 0
    keys: int = 0

    @property
    def seconds(self) -> float:
        """How long a hand would take, by the model."""
        return self.taps * (THINK + POINT + PRESS) + self.keys * KEY

    def tap(self, selector: str, text: str = "") -> None:
        """One tap."""
        self.taps += 1
        found = self.page.locator(selector, has_text=text) if text else self.page.locator(selector)
        found.first.click()

    def type(self, selector: str, text: str) -> None:
        """A tap in a field, and its text anew: one key takes what is there away."""
        self.taps += 1
        self.keys += 1 + len(text)
        self.page.fill(selector, text)

    def paste(self, selector: str, text: str) -> None:
        """A tap in a field, and a paste."""
        self.taps += 1
        self.keys += PASTE
        self.page.fill(selector, text)

    def choose(self, selector: str, value: str) -> None:
        """A tap on a list, and one on an entry of it."""
        self.taps += 2
        self.page.select_option(selector, value)


def mark_away(hand: Hand, class_page: str, name: str) -> None:
    """From the address of the class to the groups without somebody."""
    hand.page.goto(class_page)
    hand.tap(".name", name)
    hand.page.locator(".name.away:not(.saving)", has_text=name).wait_for()


def three_away_and_one_late(hand: Hand, names: Sequence[str]) -> None:
    """At the open door: three taps, and two for who comes late; all of it is saved."""
    for name in names[:3]:
        hand.tap(".name", name)
    hand.tap(".pick label:has(#tap-late)")
    hand.tap(".name", names[3])
    hand.page.wait_for_function("() => document.querySelectorAll('.name.out:not(.saving)').length >= 4")


def swap_two(hand: Hand) -> None:
    """At the open door: the first names of the first two groups of the first round change places."""
    hand.tap("#to-hand")
    hand.page.wait_for_selector("#by-hand")
    for group in (1, 2):
        hand.taps += 1
        hand.page.locator(".by-hand-round").first.locator(f".group:nth-child({group}) button.member").first.click()
        hand.page.wait_for_selector(".member.chosen" if group == 1 else "#pin-1[aria-pressed=true], #ask")
    if hand.page.locator("#ask").count():
        hand.tap("#sure")
        hand.page.wait_for_selector("#pin-1[aria-pressed=true]")


def bell_early(hand: Hand) -> None:
    """At the open door while a round runs: the lesson is over after it."""
    hand.tap("#bell-rang")
    hand.page.wait_for_selector(".chip:has-text('taught'), #closed")


def names_with_ratings(hand: Hand, served: Served, title: str, rows: Sequence[str]) -> None:
    """From a table of names and ratings in the clipboard to a plan of two lessons, one of them by the rating."""
    hand.page.goto(served.at("/new"))
    hand.type("#title", title)
    hand.paste("#list", "\n".join(rows))
    hand.tap("#give")
    hand.tap("#take")
    hand.tap("#add-lesson")
    hand.type("#name-0", "Passing")
    hand.choose("#aim-0", "balanced")
    hand.type("#strand-0", "passing")
    hand.tap("#save")
    hand.tap("#add-lesson")
    hand.tap("#save")
    hand.tap("#plan")
    hand.page.wait_for_selector("#glance-title", timeout=120_000)


def add_lesson(hand: Hand) -> None:
    """From the unit: one more lesson, with another name and other lengths for its first activity."""
    hand.tap("#add-lesson")
    hand.type("#name-0", "Throw on the run")
    hand.type("#rounds-0", "3")
    hand.type("#minutes-0", "5")
    hand.tap("#save")
    hand.page.wait_for_url("**/unit")


def before_the_unit(hand: Hand, served: Served, title: str, names: Sequence[str], lessons: int) -> None:
    """From a list of names in the clipboard to a planned unit of so many lessons."""
    hand.page.goto(served.at("/new"))
    hand.type("#title", title)
    hand.paste("#list", "\n".join(names))
    hand.tap("#give")
    hand.tap("#take")
    hand.tap("#add-lesson")
    hand.type("#name-0", "Passing")
    hand.tap("#save")
    for _ in range(lessons - 1):
        hand.tap("#add-lesson")
        hand.tap("#save")
    hand.tap("#plan")
    hand.page.wait_for_selector("#glance-title", timeout=120_000)
