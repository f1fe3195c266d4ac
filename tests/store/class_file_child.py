"""Work on class files for processes of their own, to be killed, or to be set against one another.

Every step is told before (``try``, N) and after (``done``, N), N being the number of the state that the file then
holds; see ``class_states.py``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import count
from multiprocessing.connection import Connection
from pathlib import Path

from class_states import large_state, state
from processes import wait_for_start

from grouper.errors import GrouperError
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from grouper.privacy.less import Clearing, cleared


def tell(pipe: Connection, word: str, number: int) -> None:
    """One step."""
    pipe.send((word, number))


def change_for_ever(pipe: Connection, path: Path, first: int) -> None:
    """Change, save and undo in turn without an end."""
    file = ClassFile(path)
    before = file.read().record.seed
    for number in count(first):
        states = [large_state(number), large_state(number + 1_000_000)]
        tell(pipe, "try", states[0].seed)
        with file.change(f"state {number}") as edit:
            edit.record = states[0]
        tell(pipe, "done", states[0].seed)
        found = file.read()
        tell(pipe, "try", states[1].seed)
        file.save(states[1], "saved", found.version)
        tell(pipe, "done", states[1].seed)
        if number % 2:
            tell(pipe, "try", states[0].seed)
            file.undo()
            tell(pipe, "done", states[0].seed)
            tell(pipe, "try", before)
            file.undo()
            tell(pipe, "done", before)
        else:
            before = states[1].seed


def create_for_ever(pipe: Connection, folder: Path, first: int) -> None:
    """Make one new file after the other without an end."""
    for number in count(first):
        record = state(number)
        tell(pipe, "try", number)
        ClassFile(folder / f"{number}.class").create(record, "made")
        tell(pipe, "done", number)


def purge_for_ever(pipe: Connection, path: Path, first: int) -> None:
    """Save a large state, then clear it away; the number of a cleared state is that of the state, negative."""
    file = ClassFile(path)
    for number in count(first):
        tell(pipe, "try", number)
        version = file.save(large_state(number), "saved", file.read().version)
        tell(pipe, "done", number)
        tell(pipe, "try", -number)
        file.purge(cleared(large_state(number), Clearing(names=True)), version)
        tell(pipe, "done", -number)


def add_taught(pipe: Connection, path: Path, first: int) -> None:
    """When told to: fifteen quick changes, each adding one lesson to those taught."""
    file = ClassFile(path)
    wait_for_start(pipe)
    for lesson in range(first, first + 15):
        with file.change(f"taught {lesson}") as edit:
            edit.record = replaced(edit.record, lesson)
    pipe.send("all done")


def save_once(pipe: Connection, path: Path, lesson: int) -> None:
    """Read, and when told to, save what was made from it."""
    file = ClassFile(path)
    found = file.read()
    wait_for_start(pipe)
    report(pipe, lambda: file.save(replaced(found.record, lesson), "saved", found.version))


def create_once(pipe: Connection, path: Path, number: int) -> None:
    """When told to, make the file."""
    record = state(number)
    wait_for_start(pipe)
    report(pipe, lambda: ClassFile(path).create(record, "made"))


def hold(pipe: Connection, path: Path, lesson: int) -> None:
    """Take the write lock and keep it until told to go on."""
    with ClassFile(path).change("held") as edit:
        wait_for_start(pipe)
        edit.record = replaced(edit.record, lesson)
    pipe.send("let go")


def replaced(record: ClassRecord, lesson: int) -> ClassRecord:
    """The record with one more lesson taught."""
    return replace(record, taught=record.taught | {lesson})


def report(pipe: Connection, work: Callable[[], object]) -> None:
    """Say how it went."""
    try:
        work()
        pipe.send("saved")
    except GrouperError as error:
        pipe.send(type(error).__name__)
