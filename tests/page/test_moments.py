"""The moments of a teacher, counted: how many taps and keys each takes, done by a script in a real browser.

From tap to shown in under 300 ms is measured in ``test_door``; ``tests/bench/page_moments.py`` prints times of all.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from playwright.sync_api import BrowserContext

from grouper.files.store import ClassFile
from grouper.planning.fairness import fairness_of

from .by_hand import Hand, add_lesson, before_the_unit, mark_away
from .conftest import Class
from .serving import Served

FAMILIES = ("Ash", "Birch", "Elm", "Oak")
NAMES = tuple(f"{given} {family}" for given in ("Ada", "Bo", "Cy", "Di", "Ed") for family in FAMILIES)


def test_absent_takes_one_tap_once_the_class_is_open(klass: Class) -> None:
    """Today's lesson is what opens, and a tap on the name is all; asked are at most three taps and ten seconds."""
    with ClassFile(klass.file.path).change("dates") as edit:
        lessons = list(edit.record.unit.lessons)
        lessons[2] = replace(lessons[2], date=date.today().isoformat())
        edit.record = replace(edit.record, unit=replace(edit.record.unit, lessons=tuple(lessons)))
    hand = Hand(klass.page)
    mark_away(hand, klass.at("/"), "Bao")
    assert [(a.lesson, a.student) for a in klass.record.absences] == [(3, "0002")]
    assert (hand.taps, hand.keys) == (1, 0) and hand.seconds < 10


def test_absent_from_the_list_of_classes_takes_two_taps(klass: Class) -> None:
    """Where the page was started without a class."""
    hand = Hand(klass.page)
    klass.page.goto(klass.served.at("/classes"))
    hand.tap(".row-link", klass.name.removesuffix(".class"))
    hand.tap(".name", "Bao")
    klass.page.locator(".name.away:not(.saving)", has_text="Bao").wait_for()
    assert hand.taps == 2 and hand.seconds < 10


def test_upset_in_the_middle_takes_three_taps(klass: Class) -> None:
    """'Two apart' and two names; the bar, which students may see, then says no more than that there was a change."""
    hand = Hand(klass.page)
    klass.open("/lesson/2")
    before = klass.page.get_attribute("#bar", "data-version")
    hand.tap("#tap-apart")
    hand.tap(".name", "Bao")
    klass.page.wait_for_selector(".name.chosen")
    hand.tap(".name", "Davud")
    klass.page.wait_for_selector(f"#bar:not([data-version='{before}'])")
    assert klass.page.inner_text("#last bdi") == "a change"
    asked, names = klass.record.requests[-1], {one.id: one.name for one in klass.record.roster.students}
    two = {names[asked.student], names[asked.other]}
    assert (hand.taps, asked.kind, two) == (3, "apart", {"Bao Trinh Lam", "Davud Əmirov"})


def test_a_lesson_in_twenty_seconds(klass: Class) -> None:
    """Added as a copy of the last, renamed, with other lengths: five taps and the keys of what is new."""
    klass.open("/unit")
    hand = Hand(klass.page)
    add_lesson(hand)
    activity = klass.record.unit.lessons[-1].activities[0]
    assert (activity.name, activity.rounds, activity.minutes) == ("Throw on the run", 3, 5.0)
    assert (hand.taps, hand.keys) == (5, 21) and hand.seconds < 20


def test_before_the_unit_from_names_to_a_plan(server: Served, window: BrowserContext) -> None:
    """Twenty names in the clipboard, six lessons of pairs: far below the ten minutes that there are."""
    page = window.new_page()
    page.goto(server.address)
    hand = Hand(page)
    before_the_unit(hand, server, "8c", NAMES, lessons=6)
    record = ClassFile(server.folder / "8c.class").read().record
    assert len(record.roster.students) == 20 and len(record.plan.rounds) == 24
    assert fairness_of(record).breaches == ()
    assert (hand.taps, hand.seconds < 120) == (18, True)
