"""The moments of a teacher on the page, timed in a real browser. Prints a table.

Run from the root of the project::

    python -m tests.bench.page_moments
    python -m tests.bench.page_moments --sizes

With --sizes what a teacher does at the door, on windows of a phone, a tablet and a laptop.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

from playwright.sync_api import Browser, Page, sync_playwright

from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.plan import plan_unit
from tests.bench.page_pictures import BASE, NAME, _make_class
from tests.page.by_hand import (
    Hand,
    add_lesson,
    before_the_unit,
    bell_early,
    mark_away,
    names_with_ratings,
    swap_two,
    three_away_and_one_late,
)
from tests.page.conftest import CHROMIUM, FLAGS
from tests.page.serving import Served, served
from tests.page.test_door import SHOWN_AFTER_TAP
from tests.page.test_taps import SIZES

TAPS = 20
LARGE = "Large.class"
Row = tuple[str, str, str, str]


def main() -> None:
    """Time all moments and print them."""
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        _make_class(Path(folder))
        _make_large(Path(folder))
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        with served(Path(folder)) as page:
            if "--sizes" in sys.argv:
                _at_all_sizes(browser, page)
                return
            teacher = browser.new_page(viewport={"width": 1366, "height": 768})
            teacher.goto(page.address)
            print("| moment | taps | keys | time |\n|---|---|---|---|")
            for row in _rows(teacher, page):
                print("| " + " | ".join(row) + " |", flush=True)
        browser.close()


def _at_all_sizes(browser: Browser, page: Served) -> None:
    print("| size | moment | taps | keys | time |\n|---|---|---|---|---|")
    for size, (width, height, touch) in SIZES.items():
        context = browser.new_context(viewport={"width": width, "height": height}, has_touch=touch)
        teacher = context.new_page()
        teacher.goto(page.address)
        for row in _at_the_door(teacher, page, size):
            print(f"| {size} | " + " | ".join(row) + " |", flush=True)
        context.close()


def _at_the_door(page: Page, where: Served, size: str) -> Iterator[Row]:
    kept = (where.folder / NAME).read_bytes()
    yield "absent: from tap to shown", "1", "0", _times(_tapped(page, where, BASE))
    door = where.at(f"{BASE}/lesson/2")
    page.goto(door)
    four = ("Bao", "Eleni", "Fenna", "Vera")
    yield _by_hand("three away and one late, all saved", page, lambda hand: three_away_and_one_late(hand, four))
    yield _by_hand("two of the first round swap", page, swap_two)
    page.goto(door)
    with page.context.expect_page() as opened:
        page.click("#open-screen")
    # A tab that lies behind another is slow to tell: the first round begins before the door is looked at again.
    with opened.value.expect_response(lambda answer: "/rounds?round=1" in answer.url):
        opened.value.click("#go")
    page.bring_to_front()
    page.wait_for_selector("#bell-rang")
    yield _by_hand("the bell rings early", page, bell_early)
    rows = ["name\tpassing", *(f"Given{n} Family{n}\t{n % 5 + 1}" for n in range(29))]
    title = f"Nine {size}"
    yield _by_hand(
        "29 names with ratings to a plan of 2 lessons", page, lambda hand: names_with_ratings(hand, where, title, rows)
    )
    (where.folder / NAME).write_bytes(kept)


def _make_large(folder: Path) -> None:
    """Thirty in ten lessons: 41 rounds."""
    students = tuple(Student(f"{n:02}", f"Given{n} Family{n}", {"passing": n % 5 + 1}) for n in range(30))
    activities = (Activity("Pairs", size=2, rounds=3), Activity("Game", groups=5, aim="balanced", strand="passing"))
    lessons = [Lesson(number, activities) for number in range(1, 11)]
    lessons[0] = Lesson(1, (*activities, Activity("Threes", size=3)))
    record = ClassRecord(Roster(students, ("passing",)), Unit(tuple(lessons)))
    ClassFile(folder / LARGE).create(plan_unit(record, effort="quick").record, "first plan")


def _rows(page: Page, where: Served) -> Iterator[Row]:
    opened = [_opened(page, where) for _ in range(9)]
    yield "today's lesson opens, from the address to its names", "0", "0", _times(opened)
    yield "absent: from tap to shown, class of 23", "1", "0", _times(_tapped(page, where, BASE))
    yield "absent: from tap to shown, class of 30, 41 rounds", "1", "0", _times(_tapped(page, where, f"/c/{LARGE}"))
    yield _by_hand("a lesson more, renamed, with other lengths", page, lambda hand: _lesson(hand, where))
    yield _by_hand("absent, from the address of the class", page, lambda h: mark_away(h, where.at(f"{BASE}/"), "Vera"))
    names = [f"Given{n} Family{n}" for n in range(26)]
    yield _by_hand(
        "26 names to a plan of 8 lessons (32 rounds of pairs)",
        page,
        lambda hand: before_the_unit(hand, where, "Eight", names, lessons=8),
    )


def _opened(page: Page, where: Served) -> float:
    start = perf_counter()
    page.goto(where.at(f"{BASE}/"))
    page.wait_for_selector(".name")
    return 1000 * (perf_counter() - start)


def _tapped(page: Page, where: Served, base: str) -> list[float]:
    """Milliseconds in the page; each tap on a copy of the class, so that all are the first absence of a lesson."""
    name = NAME if base == BASE else LARGE
    kept = (where.folder / name).read_bytes()
    times = []
    for number in range(TAPS):
        page.goto(where.at(f"{base}/lesson/{number % 4 + 1}"))
        times.append(float(page.evaluate(SHOWN_AFTER_TAP)))
        copy = where.folder / "copy"
        copy.write_bytes(kept)
        shutil.move(copy, where.folder / name)
    return times


def _lesson(hand: Hand, where: Served) -> None:
    hand.page.goto(where.at(f"{BASE}/unit"))
    add_lesson(hand)


def _by_hand(what: str, page: Page, act: object) -> Row:
    hand = Hand(page)
    start = perf_counter()
    act(hand)  # type: ignore[operator]
    machine = perf_counter() - start
    times = f"{machine:.1f} s of the machine, about {hand.seconds:.0f} s of the hand"
    return what, str(hand.taps), str(hand.keys), times


def _times(times: list[float]) -> str:
    return f"median {median(times):.0f} ms, 95 % under {quantiles(times, n=20)[-1]:.0f} ms"


if __name__ == "__main__":
    main()
