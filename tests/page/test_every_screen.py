"""Every screen at four sizes, before, while and after a lesson of thirty with long names: nothing to stumble over.

That no word is broken inside, nothing lies on something else and nothing sticks out is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from .serving import Served, served
from .states import LESSON, OF_A_CLASS, STATES, WHILE, address, begin, make_classes
from .test_accessible import TARGET, TOO_SMALL, axe
from .test_print import pages_of

SIZES = {"phone": (390, 844), "tablet": (820, 1180), "laptop": (1366, 768), "wall": (1920, 1080)}
WITH_AXE = ("phone", "laptop")

STUMBLES = r"""
() => {
  const found = [];
  const seen = (one) => one.checkVisibility() && !one.closest('.unseen, .skip, svg, [hidden]');
  const wide = document.documentElement.scrollWidth - innerWidth;
  if (wide > 0) found.push(`sticks out by ${wide}`);

  const linesOf = (range) =>
    [...range.getClientRects()].filter((box) => box.width > 0.5).map((box) => Math.round(box.top));
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = walk.nextNode());) {
    if (!seen(node.parentElement) || node.parentElement.closest('.address, option, textarea')) continue;
    for (const word of node.data.matchAll(/[^\s-]+/g)) {
      const range = document.createRange();
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      if (new Set(linesOf(range)).size > 1) found.push(`broken word: ${word[0]}`);
    }
  }

  const kinds = ['button', 'a', 'select', 'input', 'summary', 'textarea'].map((kind) => `main ${kind}`).join();
  const loose = '.pick, .changes, .save-bar, .hand-keys, p';
  const taps = [...document.querySelectorAll(kinds)].filter((one) => seen(one) && !one.closest(loose));
  const boxes = taps.map((one) => one.getBoundingClientRect());
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
  taps.forEach((one, i) => taps.slice(i + 1).forEach((other, j) => {
    if (!meet(boxes[i], boxes[i + 1 + j]) || one.contains(other)) return;
    found.push(`on one another: ${one.outerHTML.slice(0, 60)} ${other.outerHTML.slice(0, 60)}`);
  }));

  for (const table of document.querySelectorAll('table')) {
    const [head, body] = ['thead', 'tbody tr'].map((part) => table.querySelector(part)?.getBoundingClientRect());
    if (head && body && seen(table) && body.top < head.bottom - 1) found.push(`table beside its head: ${table.id}`);
  }
  for (const one of document.querySelectorAll('main button, main .button')) {
    if (seen(one) && one.scrollWidth > one.clientWidth + 1) found.push(`cut off: ${one.outerHTML.slice(0, 80)}`);
  }
  return [...new Set(found)];
}
"""
"""What one would stumble over, each in a few words."""

PLANTED = """
() => {
  document.querySelector('main').insertAdjacentHTML('beforeend', `
    <p class="x" data-css="width:3em;overflow-wrap:anywhere">Querengässerin</p>
    <div><button class="x" data-css="position:absolute;top:300px;left:9px">a</button>
    <button class="x" data-css="position:absolute;top:310px;left:9px">b</button></div>
    <table class="x" data-css="display:flex"><thead><tr><th>h</th></tr></thead>
    <tbody><tr><td>x</td></tr></tbody></table>
    <button class="x" data-css="width:3em;overflow:hidden;white-space:nowrap">longer than three</button>
    <div class="x" data-css="width:3000px">x</div>`);
  for (const one of document.querySelectorAll('.x')) one.style.cssText = one.dataset.css;
}
"""
"""One of each; a style in the text of a page is refused by its own policy."""


@pytest.fixture(scope="module")
def class_room(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Served, Page]]:
    """A server with a class in each state, and one window."""
    folder = tmp_path_factory.mktemp("states")
    make_classes(folder)
    context = browser.new_context(reduced_motion="reduce")
    context.set_default_timeout(20_000)
    with served(folder) as page:
        window = context.new_page()
        window.goto(page.address)
        begin(page, window)
        yield page, window
    context.close()


@pytest.mark.parametrize("path", OF_A_CLASS)
@pytest.mark.parametrize("state", STATES)
def test_nothing_to_stumble_over(class_room: tuple[Served, Page], state: str, path: str) -> None:
    """At four sizes no word is broken, nothing lies on another, is cut off or sticks out; axe-core has no objection."""
    page, window = class_room
    window.goto(page.at(address(state, path)))
    for size, (width, height) in SIZES.items():
        window.set_viewport_size({"width": width, "height": height})
        window.evaluate("() => scrollTo(0, 0)")
        assert window.evaluate(STUMBLES) == [], size
        assert window.evaluate(TOO_SMALL, TARGET) == [], size
        if size in WITH_AXE:
            assert axe(window) == [], size


def test_the_looker_can_fail(class_room: tuple[Served, Page]) -> None:
    """A word in too narrow a place, two buttons on one another and a table beside its head are found."""
    page, window = class_room
    window.goto(page.at(address(STATES[0], "/requests")))
    window.evaluate(PLANTED)
    found = {line.split(":")[0].split(" by ")[0] for line in window.evaluate(STUMBLES)}
    assert found == {"sticks out", "broken word", "on one another", "table beside its head", "cut off"}


def screen_in(page: Served, window: Page, state: str, lesson: int = LESSON) -> Page:
    """The students' screen of a lesson, opened from the door."""
    window.goto(page.at(address(state, f"/lesson/{lesson}")))
    with window.context.expect_page() as opened:
        window.click("#open-screen")
    screen = opened.value
    screen.wait_for_selector(".round.now")
    return screen


@pytest.mark.parametrize(
    ("lesson", "keys", "part"), [(2, "", 0.03), (2, "n", 0.02), (2, "a", 0.02), (4, "rrrrr", 0.03)]
)
def test_the_wall_of_thirty_long_names_can_be_read(
    class_room: tuple[Served, Page], lesson: int, keys: str, part: float
) -> None:
    """Now, with next, with the list and in a slot: names are so much of the picture's height, and nothing is broken.

    At 0.03 a capital, 0.7 of the letters, is read from five times the height of the picture (0.004 of the distance,
    NUREG-0700 rev. 2); shorter names are larger, see ``test_screen``.
    """
    page, window = class_room
    screen = screen_in(page, window, WHILE, lesson)
    for key in keys:
        screen.keyboard.press("ArrowRight" if key == "r" else key)
    for size, (width, height) in SIZES.items():
        screen.set_viewport_size({"width": width, "height": height})
        screen.wait_for_timeout(400)
        assert screen.evaluate(STUMBLES) == [], size
        name = ".round.now .people li bdi, .round.coming .people li bdi"
        sizes = screen.eval_on_selector_all(name, "all => all.map((one) => parseFloat(getComputedStyle(one).fontSize))")
        assert sizes and min(sizes) >= (part * height if size == "wall" else 12), (size, min(sizes))
    screen.close()


def test_screen_and_door_print_as_pages(class_room: tuple[Served, Page]) -> None:
    """On paper a letter has 6 to 24 points, what is for the hand is gone, and no page is left nearly empty."""
    page, window = class_room
    screen = screen_in(page, window, WHILE)
    for one in (screen, window):
        one.emulate_media(media="print")
        points = one.evaluate(POINTS)
        assert min(points) >= 6 and max(points) <= 24, (min(points), max(points))
        assert not any(each.is_visible() for each in one.locator("button:not(.name), select, input, .changes").all())
        one.emulate_media(media="screen")
    assert pages_of(screen, "A4") <= 4 and pages_of(window, "A4") <= 4
    screen.close()


POINTS = """
() => {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = [];
  for (let node; (node = walk.nextNode());) {
    const one = node.parentElement;
    if (node.data.trim() && one.checkVisibility() && !one.closest('.unseen, .skip, [hidden], script')) {
      found.push(parseFloat(getComputedStyle(one).fontSize) * 0.75);
    }
  }
  return found;
}
"""
"""How large each text is, in points; a CSS pixel is 0.75 of them."""
