"""Work in processes of its own, to be killed or set against other work, that begins at once.

Each process is a copy of one that has imported what the work needs and done nothing else: it is no heir to threads and
locks of the tests, and a kill meets the work and not the imports before it, which take longer.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from typing import Any

_CONTEXT = multiprocessing.get_context("forkserver")
_CONTEXT.set_forkserver_preload(
    ["pytest", "class_file_child", "grouper.faces.cli.commands.day", "grouper.faces.cli.commands.unit"]
)

LONGEST = 120
"""Seconds that nothing here takes."""


class Worker:
    """``work`` in a process of its own; it is given its end of a pipe, then the arguments."""

    def __init__(self, work: Callable[..., None], *arguments: object) -> None:
        self.pipe, theirs = _CONTEXT.Pipe()
        self.process = _CONTEXT.Process(target=work, args=(theirs, *arguments))
        self.process.start()
        # The only other end is the worker's from now on, so that its end is seen.
        theirs.close()

    def hear(self) -> Any:
        """The next that it tells."""
        assert self.pipe.poll(LONGEST)
        return self.pipe.recv()

    def rest(self) -> Iterator[Any]:
        """All that it tells until it ends."""
        with suppress(EOFError, ConnectionResetError):
            while True:
                yield self.hear()

    def end(self) -> Any:
        """The last that it tells; one that fails tells nothing."""
        said = list(self.rest())
        self.process.join(LONGEST)
        assert said
        return said[-1]

    def kill(self, after: float = 0.0) -> None:
        """SIGKILL after so many seconds, unless it has ended by then."""
        wait([self.process.sentinel], after)
        self.process.kill()
        self.process.join(LONGEST)


def start_together(workers: list[Worker]) -> list[Any]:
    """Let them go at the same moment once all are ready; what each tells in the end."""
    assert [worker.hear() for worker in workers] == ["ready"] * len(workers)
    for worker in workers:
        worker.pipe.send("go")
    return [worker.end() for worker in workers]


def wait_for_start(pipe: Connection) -> None:
    """The worker's part of it."""
    pipe.send("ready")
    pipe.recv()
