"""Starting processes that work on class files."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

_HERE = Path(__file__).parent
_ROOT = _HERE.parent.parent


def child(work: str, path: Path, number: int) -> subprocess.Popen[str]:
    """A process that does one of the works of ``class_file_child.py``."""
    return subprocess.Popen(
        [sys.executable, str(_HERE / "class_file_child.py"), work, str(path), str(number)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(_ROOT)},
    )


def start_together(children: list[subprocess.Popen[str]]) -> list[str]:
    """Let them go at the same moment once all are ready; what each says in the end."""
    for process in children:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
    for process in children:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    said = [process.communicate(timeout=60)[0].strip() for process in children]
    assert [process.returncode for process in children] == [0] * len(children)
    return said
