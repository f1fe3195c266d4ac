"""Running ``grouper`` as a person does: in a process of its own, or quickly within this one."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

from grouper.faces.cli.entry import main

ROOT = Path(__file__).parents[2]
CALL = "from grouper.faces.cli.entry import main; main()"


@dataclass(frozen=True)
class Said:
    """How a command ended, and what it wrote."""

    status: int
    out: str
    err: str

    @property
    def all(self) -> str:
        """Everything that stands on the terminal."""
        return self.out + self.err


def run_here(*arguments: object) -> Said:
    """A command within this process, by the way that every command takes, however it ends."""
    out, err = io.StringIO(), io.StringIO()
    ended = 0
    with redirect_stdout(out), redirect_stderr(err):
        try:
            main([str(argument) for argument in arguments])
        except SystemExit as end:
            ended = int(end.code or 0)
    return Said(ended, out.getvalue(), err.getvalue())


def grouper(*arguments: object, status: int = 0) -> Said:
    """A command within this process; it must end with ``status``."""
    said = run_here(*arguments)
    assert said.status == status, f"{arguments} ended with {said.status}:\n{said.all}"
    return said


def tell(pipe: Connection, *arguments: object) -> None:
    """A command as the work of a ``Worker``, which tells how it ended."""
    pipe.send(run_here(*arguments))


def start(*arguments: object, **environment: str) -> subprocess.Popen[str]:
    """A command in a process of its own, just started."""
    return subprocess.Popen(
        [sys.executable, "-c", CALL, *(str(argument) for argument in arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
    )


def end(process: subprocess.Popen[str]) -> Said:
    """What a started command says, once it is through."""
    out, err = process.communicate(timeout=120)
    return Said(process.returncode, out, err)
