"""A real server in a process of its own, on a real class file, and a real browser before it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection
from pathlib import Path
from queue import Queue
from threading import Thread
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]
COMMAND = "from grouper.faces.cli.entry import main; main()"


@dataclass
class Served:
    """A running page: its folder, its process, its port, and what the addresses of the teacher begin with."""

    folder: Path
    process: subprocess.Popen[str]
    port: int = 0
    root: str = ""
    _printed: Queue[str] = field(default_factory=Queue)
    links: Queue[str] = field(default_factory=Queue)
    """Where a phone asks to be let in, as it is printed: one for each code."""

    def read(self) -> None:
        """Take in what is printed, as it comes."""
        for line in self.process.stdout or ():
            if line.startswith("http://"):
                self._printed.put(line.strip())
            elif "https://" in line:
                self.links.put(line.partition("https://")[2].strip())

    @property
    def address(self) -> str:
        """An address as it is printed, that nobody has used yet: each lets one browser in, once."""
        return self._printed.get(timeout=60)

    def at(self, path: str) -> str:
        """The address of a page, for whoever was let in."""
        return f"http://127.0.0.1:{self.port}{self.root}{path}"

    def begin(self) -> None:
        """See where it is, and how its addresses begin."""
        first = self.address
        assert first.startswith("http://127.0.0.1:"), first
        self.port = urlsplit(first).port or 0
        self.root = self.let_in(first)[0].rstrip("/")

    def let_in(self, address: str) -> tuple[str, str]:
        """Where an address leads, and the cookie that comes with it."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=30)
        connection.request("GET", address.partition(str(self.port))[2])
        answer = connection.getresponse()
        assert answer.status == 303, answer.read()
        return answer.headers["Location"], answer.headers["Set-Cookie"].partition(";")[0]

    def stop(self) -> None:
        """Pull the plug."""
        self.process.kill()
        self.process.wait(10)


@contextmanager
def served(folder: Path, *arguments: str, browser: Path | None = None) -> Iterator[Served]:
    """``grouper page`` with these arguments in a folder, until the block ends; ``browser`` is what it opens, if any."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "BROWSER": str(browser)}
    quiet = [] if browser else ["--no-browser"]
    process = subprocess.Popen(
        [sys.executable, "-c", COMMAND, "page", *arguments, *quiet, "--port", "0"],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
    )
    page = Served(folder, process)
    Thread(target=page.read, daemon=True).start()
    try:
        page.begin()
        yield page
    finally:
        page.stop()


def run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Another command at work in the same folder."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-c", COMMAND, *arguments],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
