"""How a browser gets in, in a real browser with a profile on the disk: what it keeps opens nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from time import monotonic, sleep

import pytest
from playwright.sync_api import Browser, BrowserContext

from .clients import NAME
from .conftest import CHROMIUM, FLAGS
from .serving import Served, served


@pytest.fixture
def opener(tmp_path: Path) -> Path:
    """What stands in for the browser that the command starts: it notes its arguments."""
    script = tmp_path / "browser.sh"
    script.write_text(f'#!/bin/sh\nprintf "%s\\n" "$@" > {tmp_path}/part\nmv {tmp_path}/part {tmp_path}/arguments\n')
    script.chmod(0o700)
    return script


@pytest.fixture
def page(tmp_path: Path, opener: Path, odd_class: Path) -> Iterator[Served]:
    """A page that opens a browser."""
    folder = tmp_path / "desk"
    folder.mkdir()
    (folder / NAME).write_bytes(odd_class.read_bytes())
    with served(folder, browser=opener) as page:
        yield page


def file_opened(folder: Path) -> Path:
    """The file that the browser was given."""
    arguments = folder / "arguments"
    end = monotonic() + 30
    while not arguments.exists() and monotonic() < end:
        sleep(0.05)
    (only,) = arguments.read_text().split()
    assert only.startswith("file://")
    return Path(only.removeprefix("file://"))


def test_the_browser_is_given_a_file_of_the_owners_that_tells_nothing(page: Served, tmp_path: Path) -> None:
    """No key in its arguments; folder and file are the owner's alone, and their names say nothing of any class."""
    file = file_opened(tmp_path)
    assert file.stat().st_mode & 0o777 == 0o600 and file.parent.stat().st_mode & 0o777 == 0o700
    assert re.fullmatch(r"tmp\w+/open\.html", str(file.relative_to(file.parents[1])))
    (key,) = re.findall(r'name="key" value="([^"]+)"', file.read_text())
    assert key not in page.address


def test_no_key_is_left_in_the_profile_of_a_browser(browser: Browser, page: Served, tmp_path: Path) -> None:
    """Opened as the command does, then the screen as the teacher does: history, sessions and favicons hold no key."""
    file, profile = file_opened(tmp_path), tmp_path / "profile"
    keys = re.findall(r'name="key" value="([^"]+)"', file.read_text())
    window = browser.browser_type.launch_persistent_context(profile, executable_path=CHROMIUM, args=FLAGS)
    _at_the_door(window, file, page)
    with window.expect_page() as opened:
        window.pages[-1].click("#open-screen")
    screen = opened.value
    screen.on("request", lambda request: keys.extend(re.findall(r"key=([\w-]+)", request.post_data or "")))
    screen.wait_for_selector(".round.now")
    screen.reload()
    screen.wait_for_selector(".round.now")
    assert screen.url.startswith(f"http://localhost:{page.port}/") and not file.exists()
    screen.wait_for_timeout(1500)
    window.close()
    kept = b"".join(each.read_bytes() for each in profile.rglob("*") if each.is_file())
    assert page.root.encode() in kept and b"/lesson/1" in kept  # the search can find what is there
    assert keys and [key for key in keys if key.encode() in kept] == []


def _at_the_door(window: BrowserContext, file: Path, page: Served) -> None:
    teacher = window.new_page()
    teacher.goto(file.as_uri())
    teacher.wait_for_url(f"{page.at('/')}**")
    teacher.goto(page.at(f"/c/{NAME}/lesson/1"))
    teacher.wait_for_selector("#open-screen")


def test_an_address_that_was_used_says_so_and_another_is_printed(page: Served, window: BrowserContext) -> None:
    """Reloaded, or opened in a second browser, it lets nobody in; the next address does."""
    used = page.address
    first = window.new_page()
    first.goto(used)
    assert first.url.startswith(page.at("/"))
    first.goto(used)
    assert "lets one browser in, once" in first.inner_text("#content")
    second = window.browser.new_context().new_page()  # type: ignore[union-attr]
    second.goto(page.address)
    assert second.url.startswith(page.at("/"))
    second.context.close()


def test_another_program_of_the_machine_is_sent_nothing(page: Served, window: BrowserContext) -> None:
    """The browser of the teacher is led to another port of 127.0.0.1, by a link and by hand: no cookie comes along.

    With the drawn part of the address, which nobody there knows, it would: the search can find it.
    """
    asked: dict[str, str] = {}

    class Other(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked[self.path] = str(self.headers)
            self.send_response(200)
            self.end_headers()
            self.wfile.write(b"<p>another program</p>")

        def log_message(self, format: str, *arguments: object) -> None:
            """Say nothing."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Other) as other:
        Thread(target=other.serve_forever, daemon=True).start()
        elsewhere = f"http://127.0.0.1:{other.server_port}"
        teacher = window.new_page()
        teacher.goto(page.address)
        teacher.goto(page.at(f"/c/{NAME}/lesson/1"))
        teacher.evaluate("address => { location.href = address }", f"{elsewhere}/led")
        teacher.wait_for_url(f"{elsewhere}/led")
        for path in ("/", "/c/7b.class/lesson/1", "/enter", "/static/page.css"):
            teacher.goto(elsewhere + path)
        assert len(asked) >= 5
        assert [path for path, head in asked.items() if "grouper=" in head or page.root in head] == []
        teacher.goto(elsewhere + page.root + "/")
        assert "grouper=" in asked[f"{page.root}/"]
        other.shutdown()
