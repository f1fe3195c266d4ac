"""The pictures of the page in docs/pictures: the main screens of the invented odd class, taken in a real browser.

Run from the root of the project::

    python -m tests.bench.page_pictures
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import BrowserContext, Page, sync_playwright

from grouper.files.lessons import read_lessons
from grouper.files.levers import default_levers
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.games.days.groups import of_class
from grouper.games.days.plan import plan
from grouper.model.noted import TaskResult
from grouper.model.play import GAMES, Event, Score
from grouper.model.record import ClassRecord
from grouper.planning.adjust import taught
from grouper.planning.plan import plan_unit
from grouper.tasks.choose import with_result
from tests.page.conftest import CHROMIUM, FLAGS
from tests.page.serving import ROOT, Served, served

PICTURES = ROOT / "docs" / "pictures"
NAME = "Harbour 7b.class"
BASE = "/c/Harbour%207b.class"


def main() -> None:
    """Take all pictures anew."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        _make_class(Path(folder))
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        with served(Path(folder), NAME) as page:
            _take_all(page, browser.new_context(viewport={"width": 1366, "height": 768}, reduced_motion="reduce"))
        browser.close()


def _make_class(folder: Path) -> None:
    tables = ROOT / "rosters_demo" / "odd"
    roster = read_roster(tables / "roster.csv").roster
    requests = read_requests(tables / "requests.csv", roster).requests
    record = ClassRecord(roster, read_lessons(tables / "lessons.csv", roster).unit, requests)
    ClassFile(folder / NAME).create(plan_unit(record).record, "first plan")


def _take_all(page: Served, window: BrowserContext) -> None:
    teacher = window.new_page()
    teacher.goto(page.address)
    _take(teacher, page.at(f"{BASE}/unit"), "page-unit")
    _take(teacher, page.at(f"{BASE}/class"), "page-ratings")
    _take(teacher, page.at(f"{BASE}/requests"), "page-requests")
    teacher.goto(page.at(f"{BASE}/lesson/1"))
    for name in ("Bao", "Eleni"):
        teacher.locator(".name", has_text=name).click()
        teacher.locator(".name.away:not(.saving)", has_text=name).wait_for()
    teacher.screenshot(path=PICTURES / "page-door.png")
    teacher.set_viewport_size({"width": 360, "height": 740})
    teacher.screenshot(path=PICTURES / "page-door-phone.png")
    teacher.set_viewport_size({"width": 1366, "height": 768})
    _take_screens(teacher, window)
    _take(teacher, page.at(f"{BASE}/lesson/1/after"), "page-after")
    _take(teacher, page.at(f"{BASE}/evidence"), "page-evidence")
    _take(teacher, page.at(f"{BASE}/evidence/student/0006"), "page-student")
    _after_some_lessons(page.folder)
    _take_games_screen(teacher, window, page.at(f"{BASE}/lesson/2"))
    for place, name in AFTERWARDS:
        _take(teacher, page.at(BASE + place), name)
    _take_setup(teacher, page)


def _after_some_lessons(folder: Path) -> None:
    """Two lessons taught, games planned and scored, a task counted for some groups, tasks given to an activity."""
    with ClassFile(folder / NAME).change("two lessons") as edit:
        record = edit.record
        levers = replace(default_levers()[0], activity=record.lesson(1).activities[0].name)
        record = replace(record, challenges=(levers,))
        for round_ in record.plan.of_lesson(1):
            for group, hits in zip(round_.groups, (19, 3, 18, 15, 2), strict=False):
                record = with_result(record, TaskResult(round_.key, group.label, hits=hits, tries=20))
        activity = record.lesson(2).activities[-1].name
        day = plan(of_class(record, Event(GAMES, (), ("", "")), 2, activity), 15.0)
        scored = [replace(game, score=Score(7 - at, 2 + at)) for at, game in enumerate(day.assignments[:4])]
        day = replace(day, assignments=(*scored, *day.assignments[4:]))
        edit.record = taught(record.with_event(day), 1)


AFTERWARDS = (
    ("/lesson/2/games", "page-games"),
    ("/suggestions?strand=throwing", "page-suggested"),
    ("/tasks?lesson=1", "page-tasks"),
    ("/next-unit", "page-next-unit"),
    ("/keeping", "page-keeping"),
)
"""What is looked at once lessons have been taught."""


def _take(page: Page, address: str, name: str) -> None:
    page.goto(address)
    page.screenshot(path=PICTURES / f"{name}.png")


def _take_screens(teacher: Page, window: BrowserContext) -> None:
    with window.expect_page() as opened:
        teacher.click("#open-screen")
    screen = opened.value
    screen.set_viewport_size({"width": 1920, "height": 1080})
    screen.wait_for_selector(".round.now")
    screen.keyboard.press(" ")
    screen.wait_for_timeout(1500)
    screen.screenshot(path=PICTURES / "page-screen.png")
    screen.keyboard.press("n")
    screen.wait_for_timeout(400)
    screen.screenshot(path=PICTURES / "page-screen-next.png")
    screen.keyboard.press("n")
    screen.set_viewport_size({"width": 360, "height": 740})
    screen.wait_for_timeout(400)
    screen.screenshot(path=PICTURES / "page-screen-phone.png")
    screen.close()


def _take_games_screen(teacher: Page, window: BrowserContext, door: str) -> None:
    teacher.goto(door)
    with window.expect_page() as opened:
        teacher.click("#open-screen")
    screen = opened.value
    screen.set_viewport_size({"width": 1920, "height": 1080})
    for _ in range(5):
        screen.keyboard.press("ArrowRight")
    screen.keyboard.press(" ")
    screen.wait_for_timeout(1500)
    screen.screenshot(path=PICTURES / "page-screen-games.png")
    screen.close()


def _take_setup(page: Page, served_: Served) -> None:
    page.goto(served_.at("/new"))
    page.set_input_files("#file", ROOT / "rosters_demo" / "odd" / "roster.csv")
    page.fill("#title", "Harbour 7c")
    page.click("#give")
    page.wait_for_selector("#summary")
    page.screenshot(path=PICTURES / "page-look.png")


if __name__ == "__main__":
    main()
