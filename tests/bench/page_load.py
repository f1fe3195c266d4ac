"""Load on one page: 200 quick changes in a row while 20 tabs are open on the same class. Prints its figures.

Run from the root of the project::

    python -m tests.bench.page_load
"""

from __future__ import annotations

import re
from http.cookiejar import CookieJar
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from threading import Event, Thread
from time import perf_counter, sleep
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

from grouper.files.store import ClassFile
from tests.bench.page_pictures import BASE, NAME, _make_class
from tests.page.serving import Served, served

CHANGES = 200
TABS = 20
LESSON = 2


class Tab:
    """A window with the teacher's cookie."""

    def __init__(self, page: Served) -> None:
        self.page = page
        self.opener = build_opener(HTTPCookieProcessor(CookieJar()))
        self.get(page.address)

    def get(self, address: str) -> str:
        """The text of a page."""
        with self.opener.open(address, timeout=30) as answer:
            return str(answer.read().decode())

    def post(self, path: str, **fields: str) -> str:
        """The text of the page that a form leads to."""
        request = Request(self.page.at(path), urlencode(fields).encode())
        with self.opener.open(request, timeout=30) as answer:
            return str(answer.read().decode())


def watch(tab: Tab, done: Event, errors: list[str], looks: list[float]) -> None:
    """What an open tab does: ask for the version, and load the page anew where it is another."""
    seen = ""
    while not done.wait(2.5):
        start = perf_counter()
        try:
            version = tab.get(tab.page.at(f"{BASE}/version"))
            if version != seen:
                tab.get(tab.page.at(f"{BASE}/lesson/{LESSON}"))
            seen = version
        except (HTTPError, OSError) as error:
            errors.append(str(error))
        looks.append(perf_counter() - start)


def main() -> None:
    """Run it and print the figures; an error or a lost change ends it with a message."""
    with TemporaryDirectory() as folder:
        _make_class(Path(folder))
        with served(Path(folder), NAME) as page:
            _run(page, ClassFile(Path(folder) / NAME))


def _run(page: Served, file: ClassFile) -> None:
    first = Tab(page)
    key = re.search(r'name="form_key" value="(\w+)"', first.get(page.at(f"{BASE}/lesson/{LESSON}")))
    done = Event()
    errors: list[str] = []
    looks: list[float] = []
    tabs = [Thread(target=watch, args=(Tab(page), done, errors, looks)) for _ in range(TABS)]
    for tab in tabs:
        tab.start()
        sleep(2.5 / TABS)
    students = [student.id for student in file.read().record.roster.students[:6]]
    times: list[float] = []
    for number in range(CHANGES):
        student = students[number % 6]
        how = "student" if (number // 6) % 2 == 0 else "back"
        start = perf_counter()
        form_key = key[1] if key else ""
        first.post(f"{BASE}/lesson/{LESSON}/tap", form_key=form_key, tap="away", since="1", **{how: student})
        times.append(perf_counter() - start)
        out = {absence.student for absence in file.read().record.absences}
        if (student in out) != (how == "student"):
            raise SystemExit(f"change {number} was lost")
    done.set()
    for tab in tabs:
        tab.join()
    _report(times, looks, errors)


def _report(times: list[float], looks: list[float], errors: list[str]) -> None:
    tail = quantiles(times, n=20)[-1]
    shares = f"median {1000 * median(times):.0f} ms, 95 % under {1000 * tail:.0f} ms (page included)"
    print(f"{len(times)} changes: {shares}")
    print(f"{TABS} tabs: {len(looks)} looks, median {1000 * median(looks):.0f} ms; errors {len(errors)}")
    if errors:
        raise SystemExit(errors[0])


if __name__ == "__main__":
    main()
