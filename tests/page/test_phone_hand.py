"""In the hand: a phone and a tablet of the teacher's, over TLS, in step with the laptop and the wall."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from .conftest import Class, screen_of
from .phoning import LAPTOP, SIZES, let_in, phone_context
from .serving import Served, served
from .tapping import Thumb, lost, with_long_names
from .test_accessible import TARGET, TOO_SMALL, axe
from .test_games import planned

LESSON = 2


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A page that phones may come to."""
    with served(tmp_path_factory.mktemp("hall"), "--phone-at", LAPTOP) as page:
        yield page


@pytest.fixture(params=SIZES)
def hand(request: pytest.FixtureRequest, browser: Browser) -> Iterator[BrowserContext]:
    """The browser of a phone, and of a tablet."""
    context = phone_context(browser, request.param)
    yield context
    context.close()


@pytest.fixture
def pocket(browser: Browser) -> Iterator[BrowserContext]:
    """The browser of a phone."""
    context = phone_context(browser, "phone")
    yield context
    context.close()


def at_door(klass: Class, context: BrowserContext) -> Page:
    """A phone at the door of the lesson, without which no script of it went wrong."""
    phone = let_in(klass.served, klass.page, context, klass.name)
    phone.on("pageerror", lambda error: klass.troubles.append(str(error)))
    phone.goto(beside(phone, klass, f"/lesson/{LESSON}"))
    phone.wait_for_selector("#hand-time")
    return phone


def beside(phone: Page, klass: Class, path: str) -> str:
    """The address of a page of the class on the phone."""
    root = phone.url.partition("/c/")[0]
    return f"{root}/c/{klass.name.replace(' ', '%20')}{path}"


def tap(phone: Page, name: str) -> None:
    phone.locator(".name", has_text=name).first.tap()
    phone.wait_for_function("() => !document.querySelector('.saving')")


def clear_devices(klass: Class) -> None:
    """Remove who was let in before: there is room for some devices only."""
    klass.page.goto(klass.served.at("/phones"))
    while klass.page.locator("[id^=device-] button.danger").count():
        with klass.page.expect_response(lambda answer: "/phones" in answer.url and answer.request.method == "GET"):
            klass.page.locator("[id^=device-] button.danger").first.click()
        klass.page.reload()


@pytest.fixture(autouse=True)
def room(klass: Class) -> Iterator[None]:
    """No device is left over."""
    yield
    clear_devices(klass)


def test_a_phone_joins_by_the_link_and_the_word(klass: Class, pocket: BrowserContext) -> None:
    """Two taps on the phone and one click at the laptop: it is at the door of today's lesson, and is listed."""
    phone = let_in(klass.served, klass.page, pocket, klass.name)
    assert phone.url.startswith(f"https://{LAPTOP}:") and "/lesson/" in phone.url
    klass.page.wait_for_selector("[id^=device-]")
    assert not phone.locator("nav", has_text="Evidence").count()


def test_a_device_that_is_removed_is_out_at_its_next_tap(klass: Class, pocket: BrowserContext) -> None:
    """The tile says that nothing was saved, and every page why."""
    phone = at_door(klass, pocket)
    clear_devices(klass)
    phone.locator(".name", has_text="Bao").tap()
    phone.wait_for_selector("#notice:not([hidden])")
    assert "not let in" in phone.inner_text("#notice-text") and klass.record.absences == ()
    phone.reload()
    assert "scan the code" in phone.inner_text("#trouble")


def test_what_changed_is_in_sight_without_scrolling(klass: Class, hand: BrowserContext) -> None:
    """At 390 x 844 and 820 x 1180, with long names: the first changed group, the clock, what turns it, some names."""
    with klass.file.change("long names") as edit:
        edit.record = with_long_names(edit.record)
    phone = at_door(klass, hand)
    places = """() => [...document.querySelectorAll('.name, .pick span, .bar a, .hand-keys button')].map((one) => {
        const box = one.getBoundingClientRect(); return [box.x, box.y, box.width, box.height]; })"""
    before = phone.evaluate(places)
    tap(phone, "Bartholom")
    size = phone.viewport_size
    assert size
    for what in ("#changes li >> nth=0", "#hand-time", "#hand-next", "#hand-go", ".name >> nth=3"):
        box = phone.locator(what).bounding_box()
        assert box and box["y"] >= 0 and box["y"] + box["height"] <= size["height"] and box["x"] >= 0, what
        assert box["x"] + box["width"] <= size["width"], what
    assert phone.evaluate("() => scrollY") == 0
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= size["width"]
    assert phone.evaluate(places) == before


@pytest.mark.parametrize("path", ["", "?hand=1", "/after", "/games", "/stations"])
def test_axe_has_no_objection_in_the_hand(klass: Class, hand: BrowserContext, path: str) -> None:
    """WCAG A and AA, and targets of 44 px, on every page that a phone opens."""
    planned(klass)
    phone = at_door(klass, hand)
    tap(phone, "Bao")
    phone.goto(beside(phone, klass, f"/lesson/{LESSON}{path}"))
    phone.evaluate("() => document.querySelector('#hand-now')?.setAttribute('open', '')")
    assert axe(phone) == []
    assert phone.evaluate(TOO_SMALL, TARGET) == []


def test_axe_has_no_objection_to_joining(klass: Class, pocket: BrowserContext) -> None:
    """The two pages before a phone is in, and the laptop's."""
    klass.page.goto(klass.served.at("/phones"))
    phone = pocket.new_page()
    phone.goto(klass.page.inner_text("#link"))
    assert axe(phone) == [] and phone.evaluate(TOO_SMALL, TARGET) == []
    phone.tap("#ask")
    assert phone.inner_text("#word") and axe(phone) == []
    klass.page.wait_for_selector("[id^=asks-]")
    assert axe(klass.page) == [] and klass.page.evaluate(TOO_SMALL, TARGET) == []
    klass.page.locator("[id^=asks-] .danger").click()
    phone.wait_for_selector("#trouble")


def test_the_clock_is_one_on_the_wall_and_on_two_phones(klass: Class, pocket: BrowserContext, browser: Browser) -> None:
    """Started on one phone, paused on the other, turned on at the wall: all follow within moments."""
    one = at_door(klass, pocket)
    tablet = phone_context(browser, "tablet")
    other = at_door(klass, tablet)
    wall = screen_of(klass, LESSON)
    one.tap("#hand-go")
    wall.wait_for_function("() => document.getElementById('go').textContent === 'Pause'")
    other.wait_for_function("() => document.getElementById('hand-word').textContent === 'Running'")
    assert klass.record.begun == {LESSON: 1}
    other.tap("#hand-go")
    for page, word in ((one, "hand-word"), (wall, "clock-word")):
        page.wait_for_function("id => document.getElementById(id).textContent === 'Paused'", arg=word)
    times = {
        page.inner_text(where) for page, where in ((one, "#hand-time"), (other, "#hand-time"), (wall, "#clock-time"))
    }
    assert len(times) == 1
    one.tap("#hand-next")
    wall.wait_for_function("() => document.getElementById('of').textContent.startsWith('Round 2')")
    wall.keyboard.press("ArrowRight")
    for phone in (one, other):
        phone.wait_for_function("() => document.getElementById('hand-of').textContent === 'Round 3'")
    one.wait_for_function("() => document.getElementById('since-4').checked")
    assert klass.record.begun == {LESSON: 3}
    tablet.close()


def test_the_lesson_runs_from_the_phone_alone(klass: Class, pocket: BrowserContext) -> None:
    """Without a wall: start, on, back after a slip, on to the end; which rounds have begun is kept."""
    phone = at_door(klass, pocket)
    phone.tap("#hand-go")
    phone.wait_for_function("() => document.getElementById('hand-word').textContent === 'Running'")
    phone.tap("#hand-next")
    phone.tap("[data-turn=back]")
    phone.wait_for_timeout(1500)
    assert phone.inner_text("#hand-of") == "Round 1" and phone.inner_text("#hand-word") == "Running"
    assert klass.record.begun == {LESSON: 1}
    for place in range(2, 5):
        phone.tap("#hand-next")
        phone.wait_for_function("p => document.getElementById('hand-of').textContent === `Round ${p}`", arg=place)
    assert phone.inner_text("#hand-next") == "End"
    phone.tap("#hand-next")
    phone.wait_for_function("() => document.getElementById('hand-of').textContent === 'The end'")
    phone.wait_for_timeout(1500)
    assert klass.record.begun == {LESSON: 4}
    phone.reload()
    phone.wait_for_function("() => document.getElementById('hand-of').textContent === 'The end'")


def test_names_stay_where_they_are_when_a_round_begins(klass: Class, hand: BrowserContext) -> None:
    """What comes with it, the bell and the round that a tap counts from, moves no name."""
    phone = at_door(klass, hand)
    places = "() => [...document.querySelectorAll('.name')].map((one) => one.getBoundingClientRect().y)"
    before = phone.evaluate(places)
    phone.tap("#hand-go")
    phone.wait_for_selector("#bell-rang")
    assert phone.evaluate(places) == before


def test_the_groups_of_what_runs_unfold_over_the_names(klass: Class, pocket: BrowserContext) -> None:
    """One tap on the clock: all groups of the round, and nothing below has moved."""
    phone = at_door(klass, pocket)
    place = phone.locator(".name").first.bounding_box()
    phone.tap("#hand-now summary")
    assert phone.locator("#scenes > li:visible").count() == 1
    listed = phone.locator("#scenes > li:visible bdi").all_inner_texts()
    groups = klass.record.plan.of_lesson(LESSON)[0].groups
    assert sum(name in listed for name in ("Bao", "Fenna")) == 2 and len(listed) >= sum(len(g.members) for g in groups)
    assert phone.locator(".name").first.bounding_box() == place


def test_two_phones_and_the_laptop_stay_in_step(klass: Class, pocket: BrowserContext, browser: Browser) -> None:
    """A name that is tapped on one is out on all, within some seconds and without a tap."""
    one = at_door(klass, pocket)
    tablet = phone_context(browser, "tablet")
    other = at_door(klass, tablet)
    klass.open(f"/lesson/{LESSON}")
    tap(one, "Bao")
    for page in (other, klass.page):
        page.wait_for_function("() => document.querySelector('#n-0002').classList.contains('away')")
    tablet.close()


def test_taps_made_without_a_network_are_kept_and_sent(klass: Class, pocket: BrowserContext) -> None:
    """Each says on its tile that it is not saved yet; when the network is back all of them are, each once."""
    phone = at_door(klass, pocket)
    pocket.set_offline(True)
    for name in ("Bao", "Fenna", "Eleni"):
        phone.locator(".name", has_text=name).tap()
    phone.wait_for_function(
        "() => [...document.querySelectorAll('.name.saving')].every((t) => /not saved yet|saving/.test(t.textContent))"
    )
    phone.wait_for_selector("#notice:not([hidden])")
    assert klass.record.absences == ()
    phone.wait_for_timeout(2500)
    pocket.set_offline(False)
    phone.wait_for_function("() => !document.querySelector('.saving') && !waiting.length")
    assert sorted(a.student for a in klass.record.absences) == ["0002", "0005", "0006"]
    assert not phone.locator("#notice").is_visible()


def test_a_tap_whose_answer_was_lost_counts_once(klass: Class, pocket: BrowserContext) -> None:
    """It got through, the answer did not; meanwhile the laptop took it back: sent again, it does not come again."""
    phone = at_door(klass, pocket)
    lost_answers: list[int] = []

    def lose(route: object) -> None:
        if lost_answers:
            route.continue_()  # type: ignore[attr-defined]
            return
        lost_answers.append(route.fetch().status)  # type: ignore[attr-defined]
        klass.open(f"/lesson/{LESSON}")
        klass.settle(lambda: klass.page.click("#undo"))
        route.abort()  # type: ignore[attr-defined]

    phone.route("**/taps", lose)
    phone.locator(".name", has_text="Bao").tap()
    phone.wait_for_function("() => !document.querySelector('.saving') && !waiting.length")
    assert lost_answers == [200] and klass.record.absences == ()


def test_taps_outlive_a_page_that_the_phone_threw_away(klass: Class, pocket: BrowserContext) -> None:
    """Asleep without a network the system ends the page: opened again in its tab it sends what was waiting."""
    phone = at_door(klass, pocket)
    pocket.set_offline(True)
    phone.locator(".name", has_text="Bao").tap()
    phone.wait_for_selector("#notice:not([hidden])")
    kept = phone.evaluate("() => JSON.stringify(sessionStorage)")
    assert "Bao" not in kept and "0002" in kept
    pocket.set_offline(False)
    phone.route("**/taps", lambda route: route.abort())
    phone.reload()
    phone.unroute("**/taps")
    phone.wait_for_function("() => !document.querySelector('.saving') && !waiting.length")
    assert [a.student for a in klass.record.absences] == ["0002"]
    assert phone.evaluate("() => Object.keys(sessionStorage).filter((key) => key.startsWith('taps')).length") == 0


def test_after_a_sleep_the_phone_shows_what_is(klass: Class, pocket: BrowserContext) -> None:
    """Hidden for a while, with the clock running and changes elsewhere: seen again it is right at once."""
    phone = at_door(klass, pocket)
    phone.tap("#hand-go")
    phone.wait_for_function("() => document.getElementById('hand-word').textContent === 'Running'")
    phone.evaluate(
        """() => { window.asleep = true;
                   Object.defineProperty(document, 'hidden', { get: () => window.asleep, configurable: true }); }"""
    )
    klass.open(f"/lesson/{LESSON}")
    klass.tap("Fenna")
    wall = screen_of(klass, LESSON)
    wall.wait_for_function("() => document.getElementById('go').textContent === 'Pause'")
    wall.keyboard.press("ArrowRight")
    phone.wait_for_timeout(3000)
    assert phone.inner_text("#hand-of") == "Round 1" and "away" not in phone.inner_text("#n-0006")
    phone.evaluate("() => { window.asleep = false; document.dispatchEvent(new Event('visibilitychange')); }")
    phone.wait_for_function("() => document.getElementById('hand-of').textContent === 'Round 2'")
    phone.wait_for_function("() => document.getElementById('n-0006').textContent.includes('away')")


def test_scores_with_plus_and_minus_are_saved_as_tapped(klass: Class, pocket: BrowserContext) -> None:
    """Fast taps on + and -, the last of them while an answer is under way: what stands there is what is kept."""
    planned(klass)
    phone = at_door(klass, pocket)
    phone.goto(beside(phone, klass, f"/lesson/{LESSON}/games"))
    plus, minus = phone.locator("[data-add='1']"), phone.locator("[data-add='-1']")
    phone.route("**/results", lambda route: (phone.wait_for_timeout(600), route.continue_()))
    for _ in range(3):
        plus.nth(0).tap()
    minus.nth(0).tap()
    plus.nth(1).tap()
    phone.wait_for_timeout(900)
    plus.nth(0).tap()
    plus.nth(0).tap()
    phone.wait_for_function("() => !document.querySelector('.game.saving') && !quiet.busy")
    (day,) = klass.record.games
    scores = [game.score for game in day.scored if game.score]
    assert [(score.home, score.away) for score in scores] == [(4, 1)]
    assert phone.locator(".score input").nth(0).input_value() == "4"


def test_scores_without_a_network_are_sent_when_it_is_back(klass: Class, pocket: BrowserContext) -> None:
    """The game says that it is not saved, and then it is."""
    planned(klass)
    phone = at_door(klass, pocket)
    phone.goto(beside(phone, klass, f"/lesson/{LESSON}/games"))
    pocket.set_offline(True)
    phone.locator("[data-add='1']").nth(0).tap()
    phone.wait_for_selector("#notice:not([hidden])")
    assert phone.locator(".game.saving").count() == 1
    pocket.set_offline(False)
    phone.wait_for_function("() => !document.querySelector('.game.saving') && !quiet.busy")
    (day,) = klass.record.games
    assert [(f.score.home, f.score.away) for f in day.scored if f.score] == [(1, 0)]


@pytest.mark.parametrize("late", [False, True], ids=["quick", "slow"])
def test_no_tap_is_lost_or_meets_another_name_in_the_hand(klass: Class, hand: BrowserContext, late: bool) -> None:
    """Sixty taps at 120 ms over TLS, with a fast server and with one that answers a second late."""
    phone = at_door(klass, hand)
    if late:
        wire = hand.new_cdp_session(phone)
        wire.send("Network.enable")
        slow = {"offline": False, "latency": 1000, "downloadThroughput": -1, "uploadThroughput": -1}
        wire.send("Network.emulateNetworkConditions", slow)
    thumb = Thumb(phone, True, random.Random(7))
    thumb.run(60)
    thumb.settle()
    assert lost(klass.record, LESSON, thumb) == []
    assert thumb.wrong == 0
