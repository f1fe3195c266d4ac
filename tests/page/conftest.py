"""One browser and one server for all tests; each test has class files of its own and a window of its own."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from grouper.files.lessons import read_lessons
from grouper.files.requests import read_requests
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.planning.plan import plan_unit

from .serving import ROOT, Served, served

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
_numbers = count(1)


@dataclass
class Class:
    """A class file on the server, seen through one window."""

    served: Served
    name: str
    page: Page
    troubles: list[str]

    @property
    def file(self) -> ClassFile:
        """The class file itself."""
        return ClassFile(self.served.folder / self.name)

    @property
    def record(self) -> ClassRecord:
        """What stands in it now."""
        return self.file.read().record

    def at(self, path: str = "") -> str:
        """The address of one of its pages."""
        return self.served.at(f"/c/{quote(self.name)}{path}")

    def open(self, path: str = "") -> Page:
        """Go to one of its pages."""
        self.page.goto(self.at(path))
        return self.page

    def settle(self, act: Callable[[], None]) -> None:
        """Do something that changes the class, and wait until the page shows it."""
        was = self.page.get_attribute("#bar", "data-version")
        act()
        self.page.wait_for_function("was => document.getElementById('bar').dataset.version !== was", arg=was)

    def tap(self, name: str) -> None:
        """Tap a name at the door."""
        self.settle(lambda: self.page.locator(".name", has_text=name).click())


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium; a missing browser is a failure."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def odd_class(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented odd class, planned with little work."""
    tables = ROOT / "rosters_demo" / "odd"
    roster = read_roster(tables / "roster.csv").roster
    requests = read_requests(tables / "requests.csv", roster).requests
    record = ClassRecord(roster, read_lessons(tables / "lessons.csv", roster).unit, requests)
    path = tmp_path_factory.mktemp("odd") / "odd.class"
    ClassFile(path).create(plan_unit(record, effort="quick").record, "first plan")
    return path


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One page for all tests that do not kill it."""
    with served(tmp_path_factory.mktemp("desk")) as page:
        yield page


@pytest.fixture
def window(browser: Browser) -> Iterator[BrowserContext]:
    """A browser without a past."""
    context = browser.new_context(viewport={"width": 1366, "height": 768}, reduced_motion="reduce")
    context.set_default_timeout(10_000)
    yield context
    context.close()


@pytest.fixture
def klass(server: Served, window: BrowserContext, odd_class: Path) -> Iterator[Class]:
    """A planned class in a window whose scripts must run without an error."""
    yield from in_window(server, window, odd_class)


def in_window(server: Served, window: BrowserContext, file: Path) -> Iterator[Class]:
    """A copy of a class file on a server, in a window; it goes with the test, or the list of classes would grow."""
    name = f"7 b {next(_numbers)}.class"
    shutil.copy(file, server.folder / name)
    page = window.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    let_in(server, window)
    yield Class(server, name, page, troubles)
    (server.folder / name).unlink()
    assert troubles == []


def let_in(server: Served, window: BrowserContext) -> None:
    """The window has the teacher's cookie from now on; what the address leads to is not loaded."""
    answer = window.request.get(server.address, max_redirects=0)
    assert answer.status == 303


def load(page: Page, act: Callable[[], None]) -> None:
    """Do something that loads a page, and wait until it is there: what stood on the one before may stand on it too."""
    with page.expect_navigation():
        act()


def screen_of(klass: Class, lesson: int) -> Page:
    """The students' screen of a lesson, opened as the teacher does, from the door."""
    klass.open(f"/lesson/{lesson}")
    with klass.page.context.expect_page() as opened:
        klass.page.click("#open-screen")
    screen = opened.value
    screen.wait_for_selector(".round.now")
    screen.on("pageerror", lambda error: klass.troubles.append(str(error)))
    return screen
