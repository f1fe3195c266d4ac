"""A proof in the background: what no plan of a class goes below, looked for in a process of its own.

In a process, and not in a thread: it can be ended at any moment, it leaves no memory behind, and the page stays quick.
"""

from __future__ import annotations

import os
import signal
from dataclasses import dataclass
from multiprocessing import get_context, parent_process
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from threading import Lock, Thread

from grouper.engines.bounds import Bounds
from grouper.errors import InUseError
from grouper.model.record import ClassRecord
from grouper.planning.fairness import Weighed

EFFORT = 40.0
"""Of CP-SAT's deterministic time: a minute or so of search, once the model is made."""


@dataclass
class Proof:
    """One proof: for the class as it stood in ``version``, of the whole unit or of the lessons taught.

    ``state`` goes from ``running`` to ``done`` or ``failed``. No plan goes below the meeting cost ``least``, as far as
    is known yet; ``bounds`` are there when it is settled.
    """

    name: str
    version: str
    whole: bool
    process: BaseProcess
    pipe: Connection
    state: str = "running"
    least: int = 0
    bounds: Bounds | None = None
    together: Weighed | None = None

    def look(self) -> None:
        """Hear what the process has said meanwhile; one that ended without an answer has failed."""
        try:
            while self.state == "running" and self.pipe.poll():
                said = self.pipe.recv()
                if isinstance(said, Bounds):
                    self.bounds, self.least, self.state = said, said.meeting_cost, "done"
                elif isinstance(said, Weighed):
                    self.together = said
                elif isinstance(said, int):
                    self.least = max(self.least, said)
        except (EOFError, OSError):
            self.state = "failed"


class Proofs:
    """The one proof that is looked for at a time, or was last."""

    def __init__(self) -> None:
        self._proof: Proof | None = None
        self._lock = Lock()

    def of(self, name: str, version: str, whole: bool) -> Proof | None:
        """The proof for a class as it stands; one of a class that was changed since is ended and forgotten."""
        with self._lock:
            proof = self._proof
            if proof is None or proof.name != name:
                return None
            if proof.version != version:
                self._end()
                return None
            proof.look()
            return proof if proof.whole == whole else None

    def begin(self, name: str, version: str, whole: bool, chosen: ClassRecord) -> None:
        """Look for a proof for the rounds of a record (InUseError where another one is being looked for)."""
        with self._lock:
            if self._proof is not None:
                self._proof.look()
                if self._proof.state == "running":
                    raise InUseError("a proof is being looked for already; wait for it or stop it")
            context = get_context("spawn")
            ours, theirs = context.Pipe(duplex=False)
            process = context.Process(target=_look_for, args=(chosen, theirs), daemon=True)
            process.start()
            theirs.close()
            self._end()
            self._proof = Proof(name, version, whole, process, ours)

    def stop(self, name: str) -> None:
        """End and forget the proof of a class."""
        with self._lock:
            if self._proof is not None and self._proof.name == name:
                self._end()

    def _end(self) -> None:
        if self._proof is not None:
            self._proof.process.terminate()
            self._proof.process.join()
            self._proof.pipe.close()
        self._proof = None


def _look_for(chosen: ClassRecord, pipe: Connection) -> None:
    """In the process: says what everything weighs, each bound as it is proven, and at last the bounds."""
    from grouper.planning.fairness import hindsight, weighed_of

    # Ctrl+C at the page is for the page, which ends this process; and where the page is killed it ends by itself.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_the_page, daemon=True).start()

    def told(bound: int) -> bool:
        pipe.send(bound)
        return True

    pipe.send(weighed_of(chosen, settled=False))
    pipe.send(hindsight(chosen, True, EFFORT, told))


def _end_with_the_page() -> None:
    page = parent_process()
    if page is not None:
        page.join()
    os._exit(1)
