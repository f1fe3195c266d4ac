"""Commands killed at any moment: ``python -m tests.bench.kills [HOW_MANY] [--page] [--seed N]``.

Each kill hits one of seven commands that change a class file, SIGKILL at a moment drawn from the time that it usually
takes. Then the file must be sound on every page, readable, and in the state that was there before or in one that the
command was to make; what earlier commands acknowledged must still be there; and the next command must leave nothing
unfinished beside it. With ``--page`` the page is open on the class all the while, and asked many times a second.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import closing, contextmanager, nullcontext, suppress
from dataclasses import dataclass, field
from http.client import HTTPException
from http.cookiejar import CookieJar
from pathlib import Path
from subprocess import DEVNULL, PIPE, Popen
from threading import Event, Thread
from urllib.request import HTTPCookieProcessor, build_opener

from grouper.faces.cli.entry import main
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from tests.bench.hostile_classes import a_class

WINDOWS = 4
LONGEST = 30.0


def acknowledged(record: ClassRecord) -> set[str]:
    """What commands have acknowledged, and no later one but undo takes away: who is away or aside."""
    return {f"{absence.student} in lesson {absence.lesson}" for absence in record.absences}


def commands(number: int, students: list[str]) -> tuple[tuple[str, ...], ...]:
    """The commands of which one is killed; each makes something that can be told afterwards, but for undo."""
    student = students[number % len(students)]
    return (
        ("absent", "CLASS", "--lesson", "2", student),
        ("aside", "CLASS", "--lesson", "3", student),
        ("taught", "CLASS", "--lesson", "1"),
        ("pin", "CLASS", "--lesson", "3", "--round", "1"),
        ("plan", "CLASS", "--effort", "quick", "--seed", str(number)),
        ("step", "CLASS", "--lesson", "1", "--round", "1", "2=1"),
        ("undo", "CLASS"),
    )


def begin(arguments: tuple[str, ...], path: Path) -> int:
    """Start a command as a process of its own; its number."""
    child = os.fork()
    if child == 0:
        for stream in (1, 2):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream)
        try:
            main([str(path) if argument == "CLASS" else argument for argument in arguments])
        except SystemExit as end:
            os._exit(int(end.code or 0))
        os._exit(70)
    return child


def killed_after(child: int, seconds: float) -> bool:
    """Kill a process after a while; whether it was still at work."""
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status)


def _is_hot(journal: Path) -> bool:
    try:
        return journal.read_bytes()[:1] not in (b"", b"\0")
    except FileNotFoundError:
        return False


def fault(path: Path, kept: set[str], command: str, page: bool) -> str:
    """What is wrong with a class file after a kill, empty where nothing is."""
    found = ClassFile(path).read().record
    with closing(sqlite3.connect(path)) as database:
        if database.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            return "not sound"
    # A journal that begins with a zero belongs to no change any more: SQLite passes over it.
    left = [p.name for p in path.parent.iterdir() if "unfinished" in p.name or ("-journal" in p.name and _is_hot(p))]
    if left and not page:
        return f"left over: {left}"
    lost = kept - acknowledged(found)
    if lost and command != "undo":
        return f"lost: {lost}"
    return ""


@contextmanager
def page_open(path: Path) -> Iterator[None]:
    """The page on this class, with some windows that ask as fast as they are answered."""
    arguments = [sys.executable, "-c", "from grouper.faces.cli.entry import main; main()", "page", str(path)]
    server = Popen([*arguments, "--no-browser"], stdout=PIPE, stderr=DEVNULL, text=True)
    assert server.stdout is not None
    address, over = server.stdout.readline().strip(), Event()

    def ask() -> None:
        browser = build_opener(HTTPCookieProcessor(CookieJar()))
        while not over.is_set():
            try:
                browser.open(address, timeout=LONGEST).read()
            except (OSError, HTTPException):
                over.wait(0.05)

    windows = [Thread(target=ask, daemon=True) for _ in range(WINDOWS)]
    for window in windows:
        window.start()
    try:
        yield
    finally:
        over.set()
        server.terminate()
        server.wait()


@dataclass
class Tally:
    """What came of all kills."""

    tried: Counter[str] = field(default_factory=Counter)
    at_work: int = 0
    faults: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return f"{self.tried.total()} kills, {self.at_work} amid work, {len(self.faults)} faults; {dict(self.tried)}"


def kill_many(path: Path, how_many: int, seed: int, page: bool, tally: Tally) -> None:
    """Kill and look, again and again; a command of each kind, and every 25th, is left to come to its end."""
    draw = random.Random(seed)
    lasts: dict[str, float] = {}
    students = [student.id for student in ClassFile(path).read().record.roster.students]
    for number in range(how_many):
        kept = acknowledged(ClassFile(path).read().record)
        arguments = draw.choice(commands(number, students))
        name = arguments[0]
        if name not in lasts or number % 25 == 24:
            begun = time.monotonic()
            os.waitpid(begin(arguments, path), 0)
            lasts[name] = time.monotonic() - begun
            continue
        tally.tried[name] += 1
        tally.at_work += killed_after(begin(arguments, path), draw.uniform(0, 1.1 * lasts[name]))
        wrong = fault(path, kept, name, page)
        if wrong:
            tally.faults.append(f"{number} {name}: {wrong}")
            print(tally.faults[-1], flush=True)
        if number % 25 == 0:
            print(tally, flush=True)


def run() -> None:
    """Kill as often as was asked, or until interrupted, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("how_many", type=int, nargs="?", default=1000)
    parser.add_argument("--page", action="store_true")
    parser.add_argument("--seed", type=int, default=1)
    given, tally = parser.parse_args(), Tally()
    with tempfile.TemporaryDirectory() as name, suppress(KeyboardInterrupt):
        path = Path(name) / "7b.class"
        a_class(path)
        with page_open(path) if given.page else nullcontext():
            kill_many(path, given.how_many, given.seed, given.page, tally)
    print(tally)


if __name__ == "__main__":
    run()
