"""A process killed at any moment leaves a state that was committed, whole."""

from __future__ import annotations

import random
import time
from pathlib import Path

from children import child
from class_states import state
from test_class_file_round_trip import assert_sound

from grouper.errors import InputError
from grouper.files.store import ClassFile


def killed(work: str, path: Path, number: int, draw: random.Random) -> list[tuple[str, int]]:
    """Start a child, kill it (SIGKILL) a moment after its first step; what it has told, line by line."""
    process = child(work, path, number)
    assert process.stdout is not None
    told = [process.stdout.readline(), process.stdout.readline()]
    time.sleep(draw.uniform(0, 0.05))
    process.kill()
    told += process.stdout.read().splitlines()
    process.communicate()
    return [(word, int(number)) for word, number in (line.split() for line in told)]


def test_killed_while_changing(tmp_path: Path) -> None:
    """Thirty kills amid change, save and undo: the file reads, and is in the state before the last step or after it."""
    draw = random.Random(2)
    file = ClassFile(tmp_path / "7b.class")
    file.create(state(0), "made")
    in_the_middle = 0
    for attempt in range(30):
        told = killed("change_for_ever", file.path, 1000 * attempt + 1, draw)
        done = [number for word, number in told if word == "done"][-1]
        found = file.read().record
        assert found.seed in (done, told[-1][1])
        assert found == state(found.seed)
        assert_sound(file.path)
        in_the_middle += told[-1][0] == "try"
    assert in_the_middle > 10
    assert_undo_passes_whole_states(file)


def assert_undo_passes_whole_states(file: ClassFile) -> None:
    for _ in range(20):
        try:
            file.undo()
        except InputError:
            return
        found = file.read().record
        assert found == state(found.seed)


def test_killed_while_making_files(tmp_path: Path) -> None:
    """Twelve kills amid create: what has a name is complete, and all that were reported are there."""
    draw = random.Random(3)
    for attempt in range(12):
        told = killed("create_for_ever", tmp_path, 1000 * attempt + 1, draw)
        there = {int(path.stem): path for path in tmp_path.glob("[0-9]*.class")}
        done = {number for word, number in told if word == "done"}
        assert done <= set(there) <= {number for _, number in told}
        for number, path in there.items():
            assert ClassFile(path).read().record == state(number)
            path.unlink()
