"""A real server in a process of its own, on a real class file, and a real browser before it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]
COMMAND = "from grouper.faces.cli.entry import main; main()"


@dataclass
class Served:
    """A running page: its address with the key, its folder and its process."""

    address: str
    folder: Path
    process: subprocess.Popen[str]

    @property
    def site(self) -> str:
        """The teacher's site without a path."""
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    @property
    def port(self) -> int:
        """Where it listens."""
        return urlsplit(self.address).port or 0

    def at(self, path: str) -> str:
        """The address of a page."""
        return self.site + path

    def stop(self) -> None:
        """Pull the plug."""
        self.process.kill()
        self.process.wait(10)


@contextmanager
def served(folder: Path, *arguments: str) -> Iterator[Served]:
    """``grouper page`` with these arguments in a folder, until the block ends."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(
        [sys.executable, "-c", COMMAND, "page", *arguments, "--no-browser", "--port", "0"],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    page = Served(process.stdout.readline().strip(), folder, process)
    try:
        assert page.address.startswith("http://127.0.0.1:"), page.address
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
