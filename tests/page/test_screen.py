"""The students' screen in a real browser: far enough to read, right after sleep, and alone when the server is gone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page

from .conftest import Class, in_window, screen_of
from .serving import served

LESSON = 1
LETTER = 0.7
"""Height of a capital letter in parts of the type size, about, in common sans-serif faces (from memory)."""

LEAST = 0.004
"""Letter height in parts of the distance (NUREG-0700 rev. 2, as cited in the project's practice notes)."""


def shown(screen: Page) -> set[frozenset[str]]:
    """The groups on the screen, by names."""
    groups = screen.eval_on_selector_all(
        ".round.now .group", "all => all.map(g => [...g.querySelectorAll('.people bdi')].map(n => n.textContent))"
    )
    return {frozenset(group) for group in groups}


def clock(screen: Page) -> str:
    return screen.inner_text("#clock-time")


def test_all_groups_of_the_round_are_seen_at_once_on_every_wall(klass: Class) -> None:
    """On three common pictures nothing is cut off or scrolled, in every round."""
    screen = screen_of(klass, LESSON)
    rounds = klass.record.plan.of_lesson(LESSON)
    for width, height in ((1920, 1080), (1280, 800), (1024, 768)):
        screen.set_viewport_size({"width": width, "height": height})
        for place, round_ in enumerate(rounds, start=1):
            screen.wait_for_function("p => document.querySelector('.round.now').dataset.place === String(p)", arg=place)
            screen.wait_for_timeout(250)
            assert len(shown(screen)) == len(round_.groups)
            inside = screen.eval_on_selector_all(
                ".round.now .people bdi",
                """names => names.every(name => { const n = name.getBoundingClientRect();
                   const card = name.closest('.group').getBoundingClientRect();
                   const foot = document.querySelector('.foot').getBoundingClientRect();
                   return n.left >= card.left && n.right <= card.right + 1 && n.bottom <= foot.top + 1; })""",
            )
            assert inside, (width, place)
            screen.keyboard.press("ArrowRight")
        for _ in rounds:
            screen.keyboard.press("ArrowLeft")


def test_letters_can_be_read_from_ten_metres(klass: Class) -> None:
    """On a picture 1.5 m high the letters of names are at least 0.004 of 10 m high (the clock far more)."""
    screen = screen_of(klass, LESSON)
    screen.set_viewport_size({"width": 1920, "height": 1080})
    screen.wait_for_timeout(300)
    size = screen.eval_on_selector(".round.now .people li", "one => parseFloat(getComputedStyle(one).fontSize)")
    assert LETTER * size / 1080 * 1.5 >= LEAST * 10
    big = screen.eval_on_selector("#clock", "one => parseFloat(getComputedStyle(one).fontSize)")
    assert big > size


def test_the_countdown_is_right_after_a_sleep(klass: Class, window: BrowserContext) -> None:
    """The machine sleeps for 100 s in a round of 4 minutes: on waking 2:20 are left, to the second."""
    window.clock.install()
    screen = screen_of(klass, LESSON)
    screen.keyboard.press(" ")
    window.clock.fast_forward(100_000)
    screen.wait_for_function(
        "() => ['2:20', '2:19', '2:18'].includes(document.getElementById('clock-time').textContent)"
    )
    screen.keyboard.press(" ")
    held = clock(screen)
    window.clock.fast_forward(60_000)
    assert clock(screen) == held, "a paused clock stands still"
    screen.keyboard.press("+")
    minutes, seconds = map(int, held.split(":"))
    assert clock(screen) == f"{minutes + 1}:{seconds:02}"


def test_next_comes_into_sight_before_it_comes_and_the_end_chimes_once(klass: Class, window: BrowserContext) -> None:
    """In the last half minute the next groups stand beside those of now; at the end there is one chime, or none."""
    window.clock.install()
    screen = screen_of(klass, LESSON)
    now = shown(screen)
    screen.evaluate("() => { window.rung = 0; note = () => { window.rung += 1; }; }")
    screen.keyboard.press(" ")
    window.clock.fast_forward(215_000)
    screen.wait_for_selector("body.previewing")
    assert shown(screen) == now and screen.inner_text("#of").startswith("Round 1")
    assert screen.inner_text(".round.now .which") == "Now"
    assert screen.inner_text(".round.coming .which").startswith("Next: Round 2")
    one, other = (screen.locator(f".round.{each}").bounding_box() for each in ("now", "coming"))
    assert one and other and one["x"] + one["width"] <= other["x"] and one["y"] == other["y"]
    screen.keyboard.press("n")
    screen.wait_for_function("() => !document.body.classList.contains('previewing')")
    assert shown(screen) == now and not screen.locator(".round.coming").count()
    window.clock.fast_forward(30_000)
    screen.wait_for_function("() => document.getElementById('clock-time').textContent === 'Time'")
    window.clock.fast_forward(5_000)
    assert screen.evaluate("() => window.rung") == 4, "four notes are one chime"
    screen.click("#chime")
    screen.keyboard.press("ArrowRight")
    window.clock.fast_forward(300_000)
    screen.wait_for_function("() => document.getElementById('clock-time').textContent === 'Time'")
    assert screen.evaluate("() => window.rung") == 4


def test_a_key_blanks_the_screen_and_brings_it_back(klass: Class) -> None:
    """Nothing but black while it is blank; the clock goes on behind it."""
    screen = screen_of(klass, LESSON)
    screen.keyboard.press(" ")
    screen.keyboard.press("b")
    box = screen.locator("#curtain").bounding_box()
    size = screen.viewport_size
    assert box and size and (box["width"], box["height"]) == (size["width"], size["height"])
    screen.keyboard.press("b")
    assert not screen.locator("#curtain").is_visible() and screen.inner_text("#go") == "Pause"


def test_a_reload_loses_neither_the_round_nor_the_time(klass: Class) -> None:
    """The screen goes on where it was."""
    screen = screen_of(klass, LESSON)
    screen.keyboard.press("ArrowRight")
    screen.keyboard.press(" ")
    screen.reload()
    screen.wait_for_selector(".round.now")
    screen.wait_for_function("() => document.getElementById('clock-time').textContent.startsWith('3:')")
    assert screen.inner_text("#of").startswith("Round 2") and screen.inner_text("#go") == "Pause"


def test_a_change_at_the_door_arrives_by_itself(klass: Class) -> None:
    """Somebody is marked away while the screen is on: their name leaves the screen."""
    screen = screen_of(klass, LESSON)
    assert any("Bao" in group for group in shown(screen))
    klass.tap("Bao")
    screen.wait_for_function("() => !document.getElementById('rounds').textContent.includes('Bao')")
    assert not any("Bao" in group for group in shown(screen))


@pytest.fixture
def doomed(tmp_path: Path, window: BrowserContext, odd_class: Path) -> Iterator[Class]:
    """A class on a server of its own, which may be killed."""
    with served(tmp_path) as page:
        yield from in_window(page, window, odd_class)


def test_the_lesson_goes_on_when_the_server_is_gone(doomed: Class) -> None:
    """With the server killed every round can still be shown and timed, and a quiet word says why nothing arrives."""
    screen = screen_of(doomed, LESSON)
    rounds = doomed.record.plan.of_lesson(LESSON)
    doomed.served.stop()
    screen.keyboard.press(" ")
    for place, round_ in enumerate(rounds, start=1):
        screen.wait_for_function("p => document.querySelector('.round.now').dataset.place === String(p)", arg=place)
        assert len(shown(screen)) == len(round_.groups) and clock(screen)
        screen.keyboard.press("ArrowRight")
    screen.wait_for_selector("#alone:not([hidden])", timeout=15_000)


def test_without_the_server_a_reload_is_asked_about_first(doomed: Class) -> None:
    """A slip on the keyboard does not lose the lesson: the browser asks, and 'stay' leaves all as it is."""
    screen = screen_of(doomed, LESSON)
    asked: list[str] = []
    screen.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    screen.click("#skip")
    doomed.served.stop()
    screen.wait_for_selector("#alone:not([hidden])", timeout=15_000)
    screen.evaluate("() => { location.reload(); }")
    screen.wait_for_timeout(500)
    assert asked == ["beforeunload"]
    assert screen.inner_text("#of").startswith("Round 2") and shown(screen)


def test_a_tap_at_the_door_without_a_server_says_so(doomed: Class) -> None:
    """Nothing is lost silently: the teacher reads that the tap was not saved."""
    doomed.open(f"/lesson/{LESSON}")
    doomed.served.stop()
    doomed.page.locator(".name", has_text="Bao").click()
    doomed.page.wait_for_selector("#notice:not([hidden])")
    assert "not saved" in doomed.page.inner_text("#notice-text")
    assert doomed.record.absences == ()


def test_on_a_phone_everything_is_reached_by_scrolling_down_alone(klass: Class) -> None:
    """At 360 px nothing sticks out to the side, the clock stays in sight and no name is hidden by the keys."""
    screen = screen_of(klass, LESSON)
    screen.set_viewport_size({"width": 360, "height": 740})
    screen.wait_for_timeout(300)
    assert screen.evaluate("() => document.documentElement.scrollWidth") <= 360
    last = screen.locator(".round.now .group").last
    screen.evaluate("() => scrollTo(0, document.body.scrollHeight)")
    box, foot = last.bounding_box(), screen.locator(".foot").bounding_box()
    assert box and foot and box["y"] + box["height"] <= foot["y"] + 1
    assert screen.locator("#clock").is_visible()


def test_long_names_of_many_scripts_fit(server: object, window: BrowserContext, tmp_path: Path) -> None:
    """Thirty names from everywhere, some of them long, are whole on the wall."""
    from grouper.files.store import ClassFile
    from tests.sheets.examples import gallery

    record, lesson = gallery()["thirty"]
    path = tmp_path / "many.class"
    ClassFile(path).create(record, "made")
    for klass in in_window(server, window, path):  # type: ignore[arg-type]
        screen = screen_of(klass, lesson)
        screen.set_viewport_size({"width": 1920, "height": 1080})
        screen.wait_for_timeout(400)
        cut = screen.eval_on_selector_all(
            ".round.now .people li", "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).length"
        )
        assert cut == 0 and len(shown(screen)) == 15


def test_a_door_that_was_opened_rounds_ago_follows_the_screen(klass: Class) -> None:
    """A tap counts from the round after the one that runs, whenever the door was opened; the door shows it, too."""
    screen = screen_of(klass, LESSON)
    door = klass.page
    screen.wait_for_timeout(500)
    klass.tap("Bao")
    assert [(a.student, a.since) for a in klass.record.absences] == [("0002", 1)], "the clock is at rest"
    door.evaluate("() => { quiet.busy = 1; }")
    screen.keyboard.press("ArrowRight")
    screen.keyboard.press("ArrowRight")
    screen.keyboard.press(" ")
    screen.wait_for_timeout(4500)
    assert door.is_checked("#since-1"), "it has not looked yet"
    klass.tap("Fenna")
    assert max(a.since for a in klass.record.absences) == 4
    door.evaluate("() => { quiet.busy = 0; }")
    screen.keyboard.press("ArrowRight")
    door.wait_for_function("() => document.getElementById('since-5').checked")
    door.check("#since-2", force=True)
    klass.tap("Eleni")
    assert sorted(a.since for a in klass.record.absences) == [1, 2, 4], "what was chosen by hand goes before"


def test_a_turn_by_mistake_costs_no_time(klass: Class, window: BrowserContext) -> None:
    """A minute into round 1 somebody turns on and back: 3 minutes are left, less what that took."""
    window.clock.install()
    screen = screen_of(klass, LESSON)
    screen.keyboard.press(" ")
    window.clock.fast_forward(60_000)
    screen.keyboard.press("ArrowRight")
    window.clock.fast_forward(5_000)
    screen.keyboard.press("ArrowLeft")
    screen.wait_for_function(
        "() => ['2:55', '2:54', '2:53'].includes(document.getElementById('clock-time').textContent)"
    )
    assert screen.inner_text("#go") == "Pause" and screen.inner_text("#of").startswith("Round 1")


def test_after_the_last_round_the_screen_says_that_it_is_the_end(klass: Class) -> None:
    """One step past the last round there is a word, no groups of another round; one step back they are there again."""
    screen = screen_of(klass, LESSON)
    rounds = len(klass.record.plan.of_lesson(LESSON))
    for _ in range(rounds - 1):
        screen.keyboard.press("ArrowRight")
    assert "last one" in screen.inner_text(".next")
    last = shown(screen)
    screen.keyboard.press("ArrowRight")
    assert screen.inner_text("#activity") == "The end of the lesson" and screen.locator("#end").is_visible()
    assert not shown(screen)
    screen.keyboard.press("ArrowLeft")
    assert shown(screen) == last


def test_running_and_paused_differ_by_a_word(klass: Class) -> None:
    """Beside the clock stands what it does."""
    screen = screen_of(klass, LESSON)
    assert screen.inner_text("#clock-word") == "Ready"
    screen.keyboard.press(" ")
    assert screen.inner_text("#clock-word") == "Running"
    screen.wait_for_timeout(1100)
    screen.keyboard.press(" ")
    assert screen.inner_text("#clock-word") == "Paused"


def test_by_itself_it_changes_over_and_moves_on(klass: Class, window: BrowserContext) -> None:
    """Four minutes of play, the chosen time to change places counted down beside the next groups, then round 2 runs."""
    window.clock.install()
    screen = screen_of(klass, LESSON)
    screen.click("#alone-button")
    screen.select_option("#change", "30")
    screen.click("#go")
    window.clock.fast_forward(241_000)
    screen.wait_for_function("() => document.getElementById('clock-word').textContent === 'Changeover'")
    assert clock(screen).startswith("0:2") and screen.locator(".round.coming").is_visible()
    window.clock.fast_forward(31_000)
    screen.wait_for_function("() => document.getElementById('of').textContent.startsWith('Round 2')")
    assert screen.inner_text("#clock-word") == "Running" and clock(screen).startswith("3:5")


def test_by_itself_it_is_right_after_a_sleep(klass: Class, window: BrowserContext) -> None:
    """The machine slept through a round and a half: on waking the screen is where the lesson is."""
    window.clock.install()
    screen = screen_of(klass, LESSON)
    screen.click("#alone-button")
    screen.select_option("#change", "30")
    screen.click("#go")
    window.clock.fast_forward(270_000 + 120_000)
    screen.wait_for_function("() => document.getElementById('of').textContent.startsWith('Round 2')")
    assert clock(screen) in ("2:00", "1:59", "1:58")


def test_everybody_finds_themselves_by_the_alphabet(klass: Class) -> None:
    """The list beside the groups has each name once, sorted, with the label of the group that it is in."""
    screen = screen_of(klass, LESSON)
    screen.keyboard.press("a")
    rows = screen.eval_on_selector_all(
        "#list li",
        "rows => rows.map(row => [row.querySelector('bdi').textContent, row.querySelector('b').textContent])",
    )
    cards = screen.eval_on_selector_all(
        ".round.now .group",
        "all => all.flatMap(g => [...g.querySelectorAll('.people bdi')].map(n => "
        "[n.textContent, g.querySelector('.label').textContent.trim()]))",
    )
    assert sorted(map(tuple, rows)) == sorted(map(tuple, cards))
    names = [name.casefold() for name, _ in rows]
    assert names == sorted(names)
    box = screen.locator("#list").bounding_box()
    groups = screen.locator(".round.now").bounding_box()
    assert box and groups and groups["x"] + groups["width"] <= box["x"]


def test_no_word_of_a_name_is_broken_on_the_wall(server: object, window: BrowserContext, odd_class: Path) -> None:
    """Names with initials and long words: every word stands on one line, on three common pictures."""
    from .tapping import with_long_names

    whole = """names => names.flatMap(name => {
      const found = [];
      const text = name.firstChild;
      for (const word of text.data.matchAll(/[^\\s-]+/g)) {
        const range = document.createRange();
        range.setStart(text, word.index);
        range.setEnd(text, word.index + word[0].length);
        if (range.getClientRects().length > 1) found.push(word[0]);
      }
      return found;
    })"""
    for klass in in_window(server, window, odd_class):  # type: ignore[arg-type]
        with klass.file.change("long names") as edit:
            edit.record = with_long_names(edit.record)
        screen = screen_of(klass, LESSON)
        for width, height in ((1920, 1080), (1280, 800), (1024, 768)):
            screen.set_viewport_size({"width": width, "height": height})
            screen.wait_for_timeout(300)
            assert screen.eval_on_selector_all(".round.now .people bdi", whole) == []
