"""A process killed at any moment leaves a state that was committed, whole."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from class_file_child import change_for_ever, create_for_ever
from class_states import large_state, state
from processes import Worker
from test_class_file_round_trip import assert_sound

from grouper.files.store import ClassFile

Step = tuple[str, int]
Moment = Callable[[Worker, float], list[Step]]
"""Waits for the moment of a kill, given how long the first step took; what the worker has told meanwhile."""


def killed(work: Callable[..., None], path: Path, number: int, moment: Moment) -> list[Step]:
    """Start a worker, kill it (SIGKILL) after its first step at some moment; what it has told, step by step."""
    worker = Worker(work, path, number)
    told, begun = [worker.hear()], time.monotonic()
    told += [worker.hear()]
    told += moment(worker, time.monotonic() - begun)
    worker.kill()
    return [*told, *worker.rest()]


def a_moment(draw: random.Random) -> Moment:
    """Any moment of one of the next steps, or soon after it, however long steps take on this machine today."""

    def moment(worker: Worker, lasts: float) -> list[Step]:
        told = [worker.hear() for _ in range(2 * draw.randrange(4) + 1)]
        time.sleep(draw.uniform(0, 1.5 * lasts))
        return told

    return moment


def first_page_written(path: Path, *_: object) -> list[Step]:
    """The moment at which SQLite has begun to overwrite the file itself, its journal being complete."""
    before = path.stat().st_mtime_ns
    end = time.monotonic() + 10
    while path.stat().st_mtime_ns == before and time.monotonic() < end:
        pass
    return []


def check_one_kill(file: ClassFile, told: list[tuple[str, int]]) -> None:
    """The file is whole and in the state before the last step that was told or after it."""
    done = [number for word, number in told if word == "done"][-1]
    found = file.read().record
    assert found.seed in (done, told[-1][1])
    assert found == large_state(found.seed)
    assert_sound(file.path)


def test_killed_at_any_moment(on_disk: Path) -> None:
    """Thirty kills amid change, save and undo leave a whole file, and undo then passes whole states only."""
    draw = random.Random(2)
    file = ClassFile(on_disk / "7b.class")
    file.create(large_state(0), "made")
    in_a_step = 0
    for attempt in range(30):
        told = killed(change_for_ever, file.path, 1000 * attempt + 1, a_moment(draw))
        check_one_kill(file, told)
        in_a_step += told[-1][0] == "try"
    assert in_a_step > 10
    assert_undo_passes_whole_states(file)


def assert_undo_passes_whole_states(file: ClassFile) -> None:
    for _ in range(min(20, len(file.history()) - 1)):
        file.undo()
        found = file.read().record
        assert found == large_state(found.seed)


def test_killed_while_the_file_is_overwritten(on_disk: Path) -> None:
    """Ten kills between the first page of a change and the last leave a whole file."""
    file = ClassFile(on_disk / "7b.class")
    file.create(large_state(0), "made")
    for attempt in range(10):
        check_one_kill(
            file, killed(change_for_ever, file.path, 1000 * attempt + 1, partial(first_page_written, file.path))
        )


def test_killed_while_making_files(on_disk: Path) -> None:
    """Twelve kills amid create: what has a name is complete, and all that were reported are there."""
    draw = random.Random(3)
    for attempt in range(12):
        told = killed(create_for_ever, on_disk, 1000 * attempt + 1, a_moment(draw))
        there = {int(path.stem): path for path in on_disk.glob("[0-9]*.class")}
        done = {number for word, number in told if word == "done"}
        assert done <= set(there) <= {number for _, number in told}
        for number, path in there.items():
            assert ClassFile(path).read().record == state(number)
            path.unlink()
