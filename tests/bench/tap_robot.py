"""Two thousand taps at 120 ms each: on phone, tablet and laptop, answers at once and late, one window and two.

    python -m tests.bench.tap_robot [TAPS]
    python -m tests.bench.tap_robot [TAPS] --phone

With --phone the same through phones that were let in over TLS, which lose their network for ten taps now and then.
Prints a table for docs/quality/page.md: taps, those that met another name than was meant, and students who are in the
end not as the taps on their names say. Every class has long names.
"""

from __future__ import annotations

import random
import sys
import tempfile
from dataclasses import dataclass
from itertools import product
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from grouper.files.lessons import read_lessons
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.planning.plan import plan_unit
from tests.page.conftest import CHROMIUM, FLAGS
from tests.page.phoning import LAPTOP, let_in
from tests.page.serving import ROOT, Served, served
from tests.page.tapping import Thumb, lost, with_long_names
from tests.page.test_taps import LESSON, SIZES


@dataclass(frozen=True)
class Setting:
    """One kind of day at the door."""

    size: str
    late: bool
    windows: int
    over_tls: bool = False


def class_of_long_names(folder: Path) -> ClassFile:
    """The hard demo class with long names, planned quickly."""
    tables = ROOT / "rosters_demo" / "hard"
    roster = read_roster(tables / "roster.csv").roster
    record = with_long_names(ClassRecord(roster, read_lessons(tables / "lessons.csv", roster).unit))
    file = ClassFile(folder / "robot.class")
    file.create(plan_unit(record, effort="quick").record, "first plan")
    return file


def _thumb(
    setting: Setting, number: int, browser: Browser, page: Served, file: ClassFile, laptop: Page | None
) -> Thumb:
    """A robot before a window of its own. All stand side by side: a tab behind another is held up by the browser, and
    gets a tap a second."""
    width, height, touch = SIZES[setting.size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, has_touch=touch, ignore_https_errors=setting.over_tls
    )
    context.set_default_timeout(60_000)
    if laptop:
        window = let_in(page, laptop, context, file.path.name)
        root = window.url.partition("/c/")[0]
        window.goto(f"{root}/c/{file.path.name}/lesson/{LESSON}")
    else:
        window = context.new_page()
        window.goto(page.address)
        window.goto(page.at(f"/c/{file.path.name}/lesson/{LESSON}"))
    if setting.late:
        wire = context.new_cdp_session(window)
        wire.send("Network.enable")
        slow = {"offline": False, "latency": 1000, "downloadThroughput": -1, "uploadThroughput": -1}
        wire.send("Network.emulateNetworkConditions", slow)
    return Thumb(window, touch, random.Random(number))


def taps_in(setting: Setting, taps: int, browser: Browser, page: Served, file: ClassFile) -> tuple[int, int]:
    """Taps that met another name, and students who are not as was meant."""
    laptop = browser.new_context() if setting.over_tls else None
    opened = laptop.new_page() if laptop else None
    if opened:
        opened.goto(page.address)
    ids = sorted(student.id for student in file.read().record.roster.students)
    thumbs = [_thumb(setting, number, browser, page, file, opened) for number in range(setting.windows)]
    contexts = [thumb.page.context for thumb in thumbs]
    before = {a.student: "away" for a in file.read().record.absences if a.lesson == LESSON}
    for number, thumb in enumerate(thumbs):
        mine = set(ids[number :: setting.windows])
        thumb.expected.update({student: state for student, state in before.items() if student in mine})
    for turn in range(max(1, taps // (10 * setting.windows))):
        for context in contexts:
            context.set_offline(setting.over_tls and turn % 10 == 5)
        for number, thumb in enumerate(thumbs):
            thumb.run(10, set(ids[number :: setting.windows]).__contains__)
    for context in contexts:
        context.set_offline(False)
    for thumb in thumbs:
        thumb.settle(patience=300)
    answer = sum(thumb.wrong for thumb in thumbs), len(lost(file.read().record, LESSON, *thumbs))
    for context in contexts:
        context.close()
    if opened and laptop:
        opened.goto(page.at("/phones"))
        for _ in opened.locator("[id^=device-] .danger").all():
            opened.locator("[id^=device-] .danger").first.click()
            opened.wait_for_timeout(500)
        laptop.close()
    return answer


def main(taps: int, over_tls: bool) -> None:
    """All settings, an even share of the taps each."""
    sizes = ("phone", "tablet") if over_tls else tuple(SIZES)
    settings = [Setting(*each, over_tls) for each in product(sizes, (False, True), (1, 2))]
    each = -(-taps // len(settings) // 20) * 20
    print("| size | answers | windows | taps | on another name | not as meant |\n|---|---|---:|---:|---:|---:|")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = class_of_long_names(Path(folder))
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        with served(Path(folder), *(("--phone-at", LAPTOP) if over_tls else ())) as page:
            for setting in settings:
                wrong, missing = taps_in(setting, each, browser, page, file)
                answers = "a second late" if setting.late else "at once"
                print(f"| {setting.size} | {answers} | {setting.windows} | {each} | {wrong} | {missing} |", flush=True)
        browser.close()


if __name__ == "__main__":
    counts = [int(each) for each in sys.argv[1:] if each.isdecimal()]
    main(counts[0] if counts else 2000, "--phone" in sys.argv)
