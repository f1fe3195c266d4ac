"""Windows and commands at work on one class file at the same time: what was said to be done is there, and stays.

Windows poll as the page's script does, only faster, and tap; commands run in processes of their own. Each of them has
students of its own, so that the last word on a student is known, whoever else was at work. Run from the root of the
project, for an hour::

    python -m tests.bench.page_stress --seconds 3600 --windows 20 --taps 3 --commands 2 --tabs 2
"""

from __future__ import annotations

import argparse
import re
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from threading import Event, Lock, Thread
from time import monotonic
from urllib.parse import urlencode

from grouper.errors import GrouperError
from grouper.files.store import ClassFile

sys.path.append(str(Path(__file__).resolve().parents[1]))  # where the tests' own helpers are, as pytest has it

from processes import Worker

from tests.cli.shell import tell
from tests.page.conftest import CHROMIUM, FLAGS
from tests.page.serving import Served, served
from tests.sheets.examples import every_aim

NAME = "7b.class"
LESSON = 2
PATIENCE = 300.0
"""Seconds to wait for an answer, on a machine with much else to do; how soon one comes is measured elsewhere."""

POLL = 0.1
"""Seconds between two looks of a window; the page's own script looks every 2.5."""


@dataclass
class Figures:
    """What was done and what came of it."""

    looks: int = 0
    taps: int = 0
    commands: int = 0
    in_use: int = 0
    lost: list[str] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)
    integrity: str = ""
    _lock: Lock = field(default_factory=Lock)

    def count(self, what: str) -> None:
        """One more."""
        with self._lock:
            setattr(self, what, getattr(self, what) + 1)

    def __str__(self) -> str:
        done = f"{self.taps} taps and {self.commands} commands acknowledged, {self.in_use} told that the file is in use"
        return f"{done}, {self.looks} looks; lost {len(self.lost)}, errors {len(self.troubles)}; {self.integrity}"


@dataclass
class Stress:
    """A page, a class file and the figures of those who work on it until ``over``."""

    page: Served
    file: ClassFile
    cookie: str
    figures: Figures = field(default_factory=Figures)
    over: Event = field(default_factory=Event)

    def ask(self, path: str, form: dict[str, str] | None = None) -> tuple[int, str]:
        """The status and the text of a page, or of the answer to a form."""
        head = {"Cookie": self.cookie, "Content-Type": "application/x-www-form-urlencoded"}
        with closing(HTTPConnection("127.0.0.1", self.page.port, timeout=PATIENCE)) as connection:
            body = None if form is None else urlencode(form)
            connection.request("GET" if form is None else "POST", f"{self.page.root}/c/{NAME}{path}", body, head)
            answer = connection.getresponse()
            return answer.status, answer.read().decode()

    def look(self, number: int) -> None:
        """A window on one page: the version again and again, and the page anew where it is another."""
        page = (f"/lesson/{LESSON}", "/class", "/keeping", "/unit", "/lesson/1/after", "/evidence")[number % 6]
        seen = ""
        while not self.over.wait(POLL):
            status, version = self.ask(f"/version?lesson={LESSON}")
            if status == 200 and version != seen:
                status, _ = self.ask(page)
                seen = version
            if status != 200:
                self.figures.troubles.append(f"window {number}: {status}")
            self.figures.count("looks")

    def tap(self, students: list[str], seed: int) -> None:
        """A window that taps names."""
        _, text = self.ask(f"/lesson/{LESSON}")
        key = re.findall(r'name="form_key" value="(\w+)"', text)[0]
        away, random = self._away(students), Random(seed)
        while not self.over.wait(0.3 * random.random()):
            student = random.choice(students)
            how = "back" if away[student] else "student"
            form = {"form_key": key, "tap": "away", "since": "1", how: student}
            status, said = self.ask(f"/lesson/{LESSON}/tap", form)
            if status == 303:
                away[student] = not away[student]
                self.figures.count("taps")
            self._told(status == 409, status in (303, 409), f"tap: {status} {said[:200]}")
            self._check(away, "taps")

    def command(self, students: list[str], seed: int) -> None:
        """Commands, one after the other."""
        away, random = self._away(students), Random(seed)
        while not self.over.is_set():
            student = random.choice(students)
            verb = "present" if away[student] else "absent"
            done = Worker(tell, verb, self.file.path, "--lesson", LESSON, student).end()
            if done.status == 0:
                away[student] = not away[student]
                self.figures.count("commands")
            self._told(done.status == 4, done.status in (0, 4), f"{verb}: {done.status} {done.err}")
            self._check(away, "commands")

    def _told(self, in_use: bool, expected: bool, said: str) -> None:
        if in_use:
            self.figures.count("in_use")
        if not expected:
            self.figures.troubles.append(said)

    def _check(self, away: dict[str, bool], whose: str) -> None:
        """What was acknowledged stands in the file."""
        for student, is_out in self._away(list(away)).items():
            if away[student] != is_out:
                self.figures.lost.append(f"{whose}: {student}")
                away[student] = is_out

    def _away(self, students: list[str]) -> dict[str, bool]:
        """Whether each of them is away, as it stands in the file."""
        record = self.file.read().record
        out = {absence.student for absence in record.absences if absence.lesson == LESSON}
        return {student: student in out for student in students}

    def guarded(self, work: Callable[..., None], *arguments: object) -> None:
        """Work of one thread; what ends it too early is told."""
        try:
            work(*arguments)
        except (OSError, HTTPException, GrouperError) as error:
            self.figures.troubles.append(f"{type(error).__name__}: {error}")


def stress(
    folder: Path, seconds: float, windows: int, taps: int, commands: int, tabs: int = 0, enough: int = 0
) -> Figures:
    """Let them all work for so long; ``tabs`` are real browser windows, the others ask as such a window does.

    It ends sooner where as many taps and as many commands as are ``enough`` were acknowledged, however long that takes.
    """
    file = ClassFile(folder / NAME, wait=60)
    file.create(every_aim(), "made")
    with served(folder) as page:
        _, cookie = page.let_in(page.address)
        at_work = Stress(page, file, cookie)
        students = [student.id for student in file.read().record.roster.students]
        hands = taps + commands
        shares = [students[place::hands][:4] for place in range(hands)]
        threads = [Thread(target=at_work.guarded, args=(at_work.look, number)) for number in range(windows)]
        for number, share in enumerate(shares):
            work = at_work.tap if number < taps else at_work.command
            threads.append(Thread(target=at_work.guarded, args=(work, share, number)))
        for thread in threads:
            thread.start()
        with _open_tabs(page, tabs):
            end = monotonic() + seconds
            while monotonic() < end and not 0 < enough <= min(at_work.figures.taps, at_work.figures.commands):
                at_work.over.wait(POLL)
        at_work.over.set()
        for thread in threads:
            thread.join()
    at_work.figures.integrity = _integrity(file.path)
    return at_work.figures


def _integrity(path: Path) -> str:
    """What SQLite says of the whole file: ``ok``, or what is wrong."""
    try:
        with closing(sqlite3.connect(path)) as database:
            return str(database.execute("PRAGMA integrity_check").fetchone()[0])
    except sqlite3.Error as error:
        return str(error)


@contextmanager
def _open_tabs(page: Served, tabs: int) -> Iterator[None]:
    """So many windows of a real browser at the door; its own script looks."""
    if not tabs:
        yield
        return
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        window = browser.new_context()
        window.new_page().goto(page.address)
        for _ in range(tabs):
            window.new_page().goto(page.at(f"/c/{NAME}/lesson/{LESSON}"))
        yield
        browser.close()


def main() -> None:
    """Run it and print the figures; anything lost or broken ends it with a message."""
    parser = argparse.ArgumentParser(description=__doc__)
    for name, usual in (("seconds", 60), ("windows", 20), ("taps", 3), ("commands", 2), ("tabs", 0)):
        parser.add_argument(f"--{name}", type=int, default=usual)
    given = parser.parse_args()
    with TemporaryDirectory() as folder:
        figures = stress(Path(folder), given.seconds, given.windows, given.taps, given.commands, given.tabs)
    print(figures)
    if figures.lost or figures.troubles or figures.integrity != "ok":
        raise SystemExit("\n".join([*figures.lost[:20], *figures.troubles[:20]]))


if __name__ == "__main__":
    main()
