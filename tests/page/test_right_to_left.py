"""Names in Arabic and Hebrew letters, read from the right: they keep to their places, and so do numbers beside them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.plan import plan_unit

from .conftest import Class, in_window, load, screen_of
from .serving import Served

NAMES = (
    "نورة الزهراني", "سامي حدّاد", "ليلى بن يوسف", "عمر العلي", "ريم الخطيب", "يوسف منصور", "هدى النجار",
    "خالد عبد الرحمن الطويل", "سلمى قاسم", "طارق بدر", "דנה שפירא", "יואב בן־דוד", "נעה לוי", "איתן מזרחי",
    "תמר אברהמי", "אורי כץ", "שירה גולן", "עידו ברק", "Lena كرم", "Jonas פרץ", "מאיה Novak", "Rosa Lindt",
)  # fmt: skip
"""All invented."""

WIDTHS = (360, 768, 1920)
PAGES = (
    "/lesson/1", "/lesson/1/after", "/lesson/1/games", "/unit", "/class", "/requests", "/evidence?over=unit",
    "/evidence/student/01?over=unit",
)  # fmt: skip
FROM_THE_RIGHT = "[\u0590-\u08ff]"

OUTSIDE_BDI = """
letters => {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = [];
  while (walk.nextNode()) {
    const parent = walk.currentNode.parentElement;
    const alone = parent.closest('bdi, option, textarea, svg, script');
    if (new RegExp(letters).test(walk.currentNode.data) && !alone) found.push(walk.currentNode.data.trim());
  }
  return found;
}
"""

LABELS_ON_THE_LEFT = """
all => all.map(([first, rest]) => [document.querySelector(first), document.querySelector(rest)]
  .map(one => one.getBoundingClientRect())).every(([a, b]) => a.right <= b.left + 1)
"""


@pytest.fixture(scope="module")
def planned_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class of 22 with names from the right, with pairs and a game, planned with little work."""
    students = tuple(Student(f"{n:02}", name, {"رمي": n % 5 + 1}) for n, name in enumerate(NAMES, start=1))
    activities = (
        Activity("تمرير 2 × 2", size=2, rounds=2, minutes=4),
        Activity("משחק", groups=4, aim="balanced", strand="رمي", minutes=12),
    )
    unit = Unit(tuple(Lesson(number, activities) for number in (1, 2)))
    record = ClassRecord(Roster(students, ("رمي",)), unit, (Request("apart", "01", "11"),))
    path = tmp_path_factory.mktemp("right") / "right.class"
    ClassFile(path).create(plan_unit(record, effort="quick").record, "first plan")
    return path


@pytest.fixture
def right(server: Served, window: BrowserContext, planned_file: Path) -> Iterator[Class]:
    """This class in a window."""
    yield from in_window(server, window, planned_file)


def checked(page: Page, width: int) -> None:
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width, (page.url, width)
    assert page.evaluate(OUTSIDE_BDI, FROM_THE_RIGHT) == [], page.url


@pytest.mark.parametrize("path", PAGES)
def test_nothing_sticks_out_and_every_name_stands_alone(right: Class, path: str) -> None:
    """At 360, 768 and 1920 px: no scrolling to the side, and each name in a ``bdi`` of its own."""
    page = right.open(path)
    assert re.search(FROM_THE_RIGHT, page.inner_text("#content"))
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        page.evaluate("() => document.querySelectorAll('details').forEach(one => { one.open = true; })")
        checked(page, width)


def test_the_number_of_a_group_stands_before_its_names(right: Class) -> None:
    """At the door, after the lesson, and on the screen, whatever the direction of the names."""
    for path, first, rest in (
        ("/lesson/1", ".group .label", ".group .members"),
        ("/lesson/1", ".turn h2 .turn-number", ".turn h2 bdi"),
        ("/lesson/1/after", "#went-1 .who b", "#went-1 .who > bdi"),
    ):
        assert right.open(path).evaluate(LABELS_ON_THE_LEFT, [[first, rest]]), path
    screen = screen_of(right, 1)
    for width in WIDTHS:
        screen.set_viewport_size({"width": width, "height": 900})
        screen.wait_for_timeout(250)
        checked(screen, width)
        assert screen.evaluate(LABELS_ON_THE_LEFT, [[".round.now .label", ".round.now .people"]])


def test_a_sentence_that_begins_with_such_a_name_reads_from_the_left(right: Class) -> None:
    """'<name> is away' has the name on the left, and the number of a round behind its word."""
    page = right.open("/lesson/1")
    page.locator("#since-2").check(force=True)
    right.tap("نورة")
    said = page.locator("#last bdi")
    assert said.inner_text() == "نورة الزهراني is away, from round 2"
    places = said.evaluate("""one => { const text = one.firstChild; const at = (from, to) => {
        const range = document.createRange(); range.setStart(text, from); range.setEnd(text, to);
        return range.getBoundingClientRect().left; };
        return [at(0, 4), at(text.data.indexOf(' is') + 1, text.data.indexOf(' is') + 3),
                at(text.data.indexOf('round'), text.data.indexOf('round') + 5),
                at(text.data.length - 1, text.data.length)]; }""")
    assert places == sorted(places)


def test_names_are_sorted_found_and_scored_like_any(right: Class) -> None:
    """A list is pasted with such names, and the class made of it holds them letter by letter."""
    page = right.page
    page.goto(right.served.at("/new"))
    page.fill("#title", f"right {right.name}")
    page.fill("#list", "\n".join(NAMES))
    load(page, lambda: page.click("#give"))
    checked(page, 1366)
    page.click("#take")
    page.wait_for_url("**/unit")
    made = ClassFile(right.served.folder / f"right {right.name}").read().record
    assert tuple(student.name for student in made.roster.students) == NAMES
