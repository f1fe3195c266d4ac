"""The map of meetings on paper: one page wide, readable for thirty; looked at as Chromium prints it.

Sources: A4 is 210 x 297 mm (ISO 216), US Letter 8.5 x 11 in; a CSS pixel is 1/96 in (CSS Values and Units). That print
below 6 points is hard to read is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.plan import plan_unit

from .conftest import Class, in_window
from .serving import Served

MARGIN_MM = 10
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
LEAST_POINTS = 6.0
PIXELS_A_MM, POINTS_A_PIXEL = 96 / 25.4, 72 / 96

SMALLEST = """
() => Math.min(...[...document.querySelectorAll('#map text')].map(text =>
  parseFloat(getComputedStyle(text).fontSize) * document.getElementById('map').getScreenCTM().a))
"""


@pytest.fixture(scope="module")
def thirty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class of thirty with long names, in six lessons of pairs and teams."""
    students = tuple(Student(f"{n:02}", f"Maximiliana{n} Featherstone-Oak") for n in range(1, 31))
    activities = (Activity("Pairs", size=2, rounds=2), Activity("Game", size=5))
    unit = Unit(tuple(Lesson(number, activities) for number in range(1, 7)))
    path = tmp_path_factory.mktemp("thirty") / "thirty.class"
    record = plan_unit(ClassRecord(Roster(students), unit), effort="quick").record
    ClassFile(path).create(record, "first plan")
    return path


@pytest.fixture
def klass(server: Served, window: BrowserContext, thirty: Path) -> Iterator[Class]:
    """This class in a window."""
    yield from in_window(server, window, thirty)


def on_paper(page: Page, paper: str) -> tuple[float, float]:
    """The page as it is laid out for a paper: its width and height without the margins, in CSS pixels."""
    width, height = ((side - 2 * MARGIN_MM) * PIXELS_A_MM for side in PAPERS[paper])
    page.emulate_media(media="print")
    page.set_viewport_size({"width": int(width), "height": int(height)})
    return width, height


@pytest.mark.parametrize("paper", PAPERS)
def test_the_map_of_thirty_fits_a_page_and_can_be_read(klass: Class, paper: str) -> None:
    """No part of it is beside the paper or on the next page, and its smallest letters have at least six points."""
    page = klass.open("/evidence?over=unit")
    width, height = on_paper(page, paper)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width
    box = page.locator("#map").bounding_box()
    assert box and box["x"] >= 0 and box["x"] + box["width"] <= width and box["y"] + box["height"] <= height
    assert page.evaluate(SMALLEST) * POINTS_A_PIXEL >= LEAST_POINTS
    assert page.locator("#map .row-name").count() == 30


@pytest.mark.parametrize("paper", PAPERS)
def test_as_chromium_prints_it_the_map_has_one_page_to_itself(klass: Class, paper: str) -> None:
    """The evidence without its tables is one page; with them it is more: pages of the PDF are counted."""
    page = klass.open("/evidence?over=unit")
    whole = pages_of(page, paper)
    page.evaluate("""() => { const panel = document.querySelector('.map-panel');
        for (const one of document.querySelectorAll('.panel')) if (one !== panel) one.remove();
        panel.style.breakAfter = 'auto'; }""")
    assert pages_of(page, paper) == 1 and 1 < whole <= 6


def pages_of(page: Page, paper: str) -> int:
    """How many pages the browser prints; each page object of a PDF has the type /Page (ISO 32000)."""
    margin = f"{MARGIN_MM}mm"
    sides = {"top": margin, "right": margin, "bottom": margin, "left": margin}
    printed = page.pdf(format=paper, margin=sides, print_background=True)  # type: ignore[arg-type]
    return len(re.findall(rb"/Type\s*/Page\b", printed))
