"""Fast taps: none lost, none on another name, on a phone, a tablet and a laptop, with a slow server and two windows."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Route

from .conftest import Class, in_window
from .serving import Served, run
from .tapping import Thumb, lost, with_long_names

SIZES = {"phone": (390, 844, True), "tablet": (820, 1180, True), "laptop": (1366, 768, False)}
LESSON = 2


@pytest.fixture(params=SIZES)
def hand(request: pytest.FixtureRequest, browser: Browser) -> Iterator[tuple[BrowserContext, bool]]:
    """A window of one size, and whether it is touched."""
    width, height, touch = SIZES[request.param]
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=touch, reduced_motion="reduce")
    context.set_default_timeout(20_000)
    yield context, touch
    context.close()


def long_named(served: Served, context: BrowserContext, file: Path) -> Iterator[Class]:
    for klass in in_window(served, context, file):
        with klass.file.change("long names") as edit:
            edit.record = with_long_names(edit.record)
        yield klass


def slow(context: BrowserContext, klass: Class) -> None:
    """Every answer comes a second late."""
    wire = context.new_cdp_session(klass.page)
    wire.send("Network.enable")
    wire.send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": 1000, "downloadThroughput": -1, "uploadThroughput": -1},
    )


@pytest.mark.parametrize("late", [False, True], ids=["quick", "slow"])
def test_no_tap_is_lost_or_meets_another_name(
    server: Served, hand: tuple[BrowserContext, bool], odd_class: Path, late: bool
) -> None:
    """Sixty taps at 120 ms each: every student is as the taps on that name say, and every tap met its name."""
    context, touch = hand
    for klass in long_named(server, context, odd_class):
        klass.open(f"/lesson/{LESSON}")
        if late:
            slow(context, klass)
        thumb = Thumb(klass.page, touch, random.Random(7))
        thumb.run(60)
        thumb.settle()
        assert lost(klass.record, LESSON, thumb) == []
        assert thumb.wrong == 0


def test_two_windows_lose_nothing(server: Served, window: BrowserContext, odd_class: Path) -> None:
    """Two windows on one lesson, each tapping names of its own in turns: all taps hold."""
    for klass in long_named(server, window, odd_class):
        klass.open(f"/lesson/{LESSON}")
        other = window.new_page()
        other.goto(klass.at(f"/lesson/{LESSON}"))
        ids = sorted(student.id for student in klass.record.roster.students)
        one, two = set(ids[::2]), set(ids[1::2])
        thumbs = Thumb(klass.page, False, random.Random(1)), Thumb(other, False, random.Random(2))
        for _ in range(8):
            thumbs[0].run(5, one.__contains__)
            thumbs[1].run(5, two.__contains__)
        for thumb in thumbs:
            thumb.settle()
            assert thumb.wrong == 0
        assert lost(klass.record, LESSON, *thumbs) == []


def test_the_tile_shows_the_tap_before_it_is_saved(server: Served, window: BrowserContext, odd_class: Path) -> None:
    """While the answer is under way the tile says what was tapped and that it is not saved; afterwards that it is."""
    for klass in in_window(server, window, odd_class):
        klass.open(f"/lesson/{LESSON}")
        slow(window, klass)
        tile = klass.page.locator(".name", has_text="Bao")
        tile.click()
        assert "away, saving" in tile.inner_text()
        Thumb(klass.page, False, random.Random(0)).settle()
        assert "away" in tile.inner_text() and "saving" not in tile.inner_text()


def test_nothing_to_tap_moves_because_of_taps(
    server: Served, hand: tuple[BrowserContext, bool], odd_class: Path
) -> None:
    """Tiles, choices and the bar stand where they stood, to the pixel, whatever was tapped."""
    places = """() => [...document.querySelectorAll('.name, .pick span, .bar a, #role')].map((one) => {
        const box = one.getBoundingClientRect(); return [box.x, box.y, box.width, box.height]; })"""
    context, touch = hand
    for klass in long_named(server, context, odd_class):
        page = klass.open(f"/lesson/{LESSON}")
        before = page.evaluate(places)
        for kind in ("away", "late", "aside"):
            page.locator(f"#tap-{kind}").check(force=True)
            Thumb(page, touch, random.Random(3)).run(3)
            assert page.evaluate(places) == before
            page.wait_for_function("() => !document.querySelector('.saving')")
            assert page.evaluate(places) == before


def test_what_a_tap_means_is_for_one_tap(klass: Class) -> None:
    """After somebody was marked late the next tap means away again."""
    page = klass.open(f"/lesson/{LESSON}")
    page.locator("#tap-late").check(force=True)
    klass.tap("Fenna")
    assert page.locator("#tap-away").is_checked()
    klass.tap("Bao")
    states = {a.student: a.role for a in klass.record.absences}
    assert states == {"0006": "late", "0002": ""}


def test_a_tap_that_is_refused_is_said_on_the_tile(klass: Class) -> None:
    """The lesson was closed meanwhile: the tile says that it was not saved, and the page why."""
    page = klass.open(f"/lesson/{LESSON}")
    assert run(klass.served.folder, "taught", klass.name, "--lesson", str(LESSON)).returncode == 0
    page.locator(".name", has_text="Bao").click()
    page.wait_for_selector(".name.refused")
    assert "has been taught" in page.inner_text("#notice-text")
    assert not klass.record.absences


def test_a_server_that_is_gone_is_said_on_the_tile(klass: Class) -> None:
    """The answer never comes: the tile is as it was and says that it was not saved."""
    page = klass.open(f"/lesson/{LESSON}")
    page.context.set_offline(True)
    tile = page.locator(".name", has_text="Bao")
    tile.click()
    page.wait_for_selector(".name.refused")
    assert "not saved" in tile.inner_text() and "out" not in (tile.get_attribute("class") or "").split()
    page.context.set_offline(False)


def test_a_server_that_is_late_still_saves_each_tap_once(klass: Class) -> None:
    """The answer is waited for no longer, and was yet to come: the tap is sent again, counts once, and is saved."""
    page = klass.page
    page.add_init_script(
        "AbortSignal.timeout = () => { const one = new AbortController();"
        " setTimeout(() => one.abort(new DOMException('late', 'TimeoutError')), 400); return one.signal; }"
    )
    klass.open(f"/lesson/{LESSON}")
    late: list[int] = []

    def hold(route: Route) -> None:
        if late:
            route.continue_()
        else:
            late.append(route.fetch().status)

    page.route("**/taps", hold)
    tile = page.locator(".name", has_text="Bao")
    tile.click()
    page.locator(".name", has_text="not saved yet").wait_for()
    Thumb(page, False, random.Random(0)).settle()
    assert late == [200] and "away" in (tile.get_attribute("class") or "")
    assert [a.student for a in klass.record.absences] == ["0002"] and not page.locator("#notice").is_visible()


def test_a_page_that_was_asked_for_before_a_tap_is_not_shown_after_it(klass: Class) -> None:
    """Another window changed the class; the new page is under way when a name is tapped, and comes after the answer."""
    page = klass.open(f"/lesson/{LESSON}")
    slow: list[Route] = []
    page.route(f"**/lesson/{LESSON}", lambda route: slow.append(route))
    assert run(klass.served.folder, "absent", klass.name, "--lesson", str(LESSON), "0003").returncode == 0
    page.evaluate("() => { tapped = -CALM; look(); }")
    while not slow:
        page.wait_for_timeout(50)
    old = slow[0].fetch()
    klass.tap("Bao")
    page.evaluate("() => { tapped = -CALM; }")
    slow[0].fulfill(response=old)
    page.wait_for_timeout(300)
    assert "away" in (page.locator(".name", has_text="Bao").get_attribute("class") or "")


def test_ratings_at_a_quick_pace(server: Served, window: BrowserContext, odd_class: Path) -> None:
    """A whole column of ratings, a tap every 120 ms: each is what was tapped."""
    for klass in in_window(server, window, odd_class):
        page = klass.open("/class")
        strand = klass.record.roster.strands[0]
        draw = random.Random(4)
        wanted = {}
        for row in range(1, page.locator(".rate li").count() + 1):
            step = draw.randint(1, 5)
            button = page.locator(f"#r-{row}-{step}")
            student = (button.get_attribute("value") or "").partition(":")[2]
            wanted[student] = None if button.get_attribute("aria-pressed") == "true" else float(step)
            button.click(delay=20)
            page.wait_for_timeout(100)
        page.wait_for_function("() => !document.querySelector('.saving')")
        assert {s.id: s.ratings.get(strand) for s in klass.record.roster.students} == wanted
