"""Stations on the page, in a real browser: planned for the groups of an activity, carried on, taken off."""

from __future__ import annotations

from playwright.sync_api import Page

from grouper.model.play import Event

from .conftest import Class, screen_of
from .serving import run

LESSON = 2
GAME = "Lighthouse game"
NAMES = ("Skipping", "Throw at the hoop", "Balance", "Ladder run", "<b>Relay</b>")


def circuit(klass: Class) -> Event:
    """What the class file holds."""
    (day,) = klass.record.events
    return day


def planned(klass: Class) -> Page:
    """Five stations for the four teams, by way of the games."""
    page = klass.open(f"/lesson/{LESSON}/games")
    page.click("#to-stations")
    page.fill("#names", "\n".join(NAMES))
    page.fill("#play", "2,5")
    klass.settle(lambda: page.click("#plan-them"))
    return page


def ways(page: Page) -> list[list[str]]:
    return page.eval_on_selector_all(
        "#ways-1 tbody tr", "rows => rows.map(row => [...row.children].map(cell => cell.textContent))"
    )


def test_every_group_goes_round_every_station_as_the_command_would_plan_it(klass: Class) -> None:
    """The table has every group at every station once; names are text; the command makes the same circuit."""
    page = planned(klass)
    day = circuit(klass)
    assert (day.activity, day.places, day.timing.play) == (GAME, NAMES, 2.5)
    for row in ways(page):
        assert sorted(cell for cell in row[1:] if cell != "rests") == ["1", "2", "3", "4", "5"]
    assert "<b>Relay</b>" in page.inner_text("main")
    assert page.inner_text("#last bdi") == "stations of 'Lighthouse game' in lesson 2"
    run(klass.served.folder, "undo", klass.name)
    asked = ["--lesson", str(LESSON), "--activity", GAME, "--play", "2.5"]
    run(klass.served.folder, "stations", klass.name, *asked, *(word for name in NAMES for word in ("--name", name)))
    assert circuit(klass) == day


def test_a_station_closes_after_the_first_slot(klass: Class) -> None:
    """What is over stays; nobody is sent to the closed station any more; students see the new way."""
    page = planned(klass)
    before = circuit(klass)
    page.click("#on-1 summary")
    page.select_option("#played-1", "1")
    page.uncheck("#on-1 input[name=station][value='2']")
    klass.settle(lambda: page.click("#go-on-1"))
    after = circuit(klass)
    assert after.in_slot(1) == before.in_slot(1)
    assert all(one.place != 2 for one in after.assignments if one.slot > 1) and after.setback.closed == (2,)
    screen = screen_of(klass, LESSON)
    assert screen.locator(".places").count() == after.slots


def test_stations_are_taken_off(klass: Class) -> None:
    """And come back by undo."""
    page = planned(klass)
    day = circuit(klass)
    klass.settle(lambda: page.click("#off-1"))
    assert klass.record.events == () and page.locator("#ways-1").count() == 0
    klass.settle(lambda: page.click("#undo"))
    assert circuit(klass) == day


def test_what_cannot_be_is_said(klass: Class) -> None:
    """No station at all, and minutes that are none."""
    page = klass.open(f"/lesson/{LESSON}/stations")
    page.click("#plan-them")
    page.wait_for_selector("#notice:not([hidden])")
    assert "a line each" in page.inner_text("#notice")
    page.fill("#count", "5")
    page.fill("#play", "soon")
    page.click("#plan-them")
    page.wait_for_function("() => document.getElementById('notice').textContent.includes('soon')")
    assert klass.record.events == ()


def test_stations_for_other_groups_are_told_apart(klass: Class) -> None:
    """A court closed, two groups instead of four: the page says so, and the screen shows none of it."""
    planned(klass)
    run(klass.served.folder, "regroup", klass.name, "--lesson", str(LESSON), "--activity", GAME, "--groups", "2")
    page = klass.open(f"/lesson/{LESSON}/stations")
    assert page.locator("#stale-1").count() == 1
    assert screen_of(klass, LESSON).locator(".places").count() == 0


def test_a_taught_lesson_has_its_stations_and_no_buttons(klass: Class) -> None:
    """They are looked at, and nothing is planned any more."""
    planned(klass)
    run(klass.served.folder, "taught", klass.name, "--lesson", str(LESSON))
    page = klass.open(f"/lesson/{LESSON}/stations")
    assert page.locator("#ways-1").count() == 1
    assert page.locator("main form").count() == 0


def test_groups_go_round_in_one_direction_where_that_is_chosen(klass: Class) -> None:
    """The table is the cyclic rotation, and the choice is still there when it is planned again."""
    page = klass.open(f"/lesson/{LESSON}/stations")
    page.fill("#names", "\n".join(NAMES))
    page.select_option("#order", "rotation")
    klass.settle(lambda: page.click("#plan-them"))
    for at, row in enumerate(ways(page)):
        assert row[1:] == [str((at + slot) % len(NAMES) + 1) for slot in range(len(NAMES))]
    assert page.input_value("#order") == "rotation"
