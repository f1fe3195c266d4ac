"""A phone in a browser of its own, let in as a teacher does it: by the link of the code, and the word at the laptop."""

from __future__ import annotations

from playwright.sync_api import Browser, BrowserContext, Page

from .serving import Served

LAPTOP = "127.0.0.2"
"""Stands for the address of the laptop in the local network."""

SIZES = {"phone": (390, 844), "tablet": (820, 1180)}


def phone_context(browser: Browser, size: str, dark: bool = False) -> BrowserContext:
    """A browser of a phone's or a tablet's size that goes past the warning about the certificate."""
    width, height = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height},
        has_touch=True,
        ignore_https_errors=True,
        reduced_motion="reduce",
        color_scheme="dark" if dark else "light",
    )
    context.set_default_timeout(20_000)
    return context


def let_in(served: Served, laptop: Page, context: BrowserContext, klass: str) -> Page:
    """A phone joins by the link that the laptop shows, and its word is picked there."""
    laptop.goto(served.at(f"/phones?from={klass}"))
    phone = context.new_page()
    phone.goto(laptop.inner_text("#link"))
    phone.tap("#ask")
    word = phone.inner_text("#word")
    laptop.locator("section[id^=asks-] button", has_text=word).last.click()
    phone.wait_for_selector("#names")
    return phone
