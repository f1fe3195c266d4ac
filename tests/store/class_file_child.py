"""A process of its own that works on class files, to be killed, or to be set against another one.

Every step is told on standard output before (``try N``) and after (``done N``), N being the number of the state that
the file then holds; see ``class_states.py``.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from itertools import count
from pathlib import Path

from class_states import large_state, state

from grouper.errors import GrouperError
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord


def tell(word: str, number: int) -> None:
    """One step."""
    say(f"{word} {number}")


def say(line: str) -> None:
    """One line, out of this process at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def change_for_ever(path: Path, first: int) -> None:
    """Change, save and undo in turn without an end."""
    file = ClassFile(path)
    before = file.read().record.seed
    for number in count(first):
        states = [large_state(number), large_state(number + 1_000_000)]
        tell("try", states[0].seed)
        with file.change(f"state {number}") as edit:
            edit.record = states[0]
        tell("done", states[0].seed)
        found = file.read()
        tell("try", states[1].seed)
        file.save(states[1], "saved", found.version)
        tell("done", states[1].seed)
        if number % 2:
            tell("try", states[0].seed)
            file.undo()
            tell("done", states[0].seed)
            tell("try", before)
            file.undo()
            tell("done", before)
        else:
            before = states[1].seed


def create_for_ever(folder: Path, first: int) -> None:
    """Make one new file after the other without an end."""
    for number in count(first):
        record = state(number)
        tell("try", number)
        ClassFile(folder / f"{number}.class").create(record, "made")
        tell("done", number)


def add_taught(path: Path, first: int) -> None:
    """When told to: fifteen quick changes, each adding one lesson to those taught."""
    file = ClassFile(path)
    wait_for_start()
    for lesson in range(first, first + 15):
        with file.change(f"taught {lesson}") as edit:
            edit.record = replaced(edit.record, lesson)


def save_once(path: Path, lesson: int) -> None:
    """Read, and when told to, save what was made from it."""
    file = ClassFile(path)
    found = file.read()
    wait_for_start()
    report(lambda: file.save(replaced(found.record, lesson), "saved", found.version))


def create_once(path: Path, number: int) -> None:
    """When told to, make the file."""
    record = state(number)
    wait_for_start()
    report(lambda: ClassFile(path).create(record, "made"))


def hold(path: Path, lesson: int) -> None:
    """Take the write lock and keep it until told to go on."""
    with ClassFile(path).change("held") as edit:
        wait_for_start()
        edit.record = replaced(edit.record, lesson)


def replaced(record: ClassRecord, lesson: int) -> ClassRecord:
    """The record with one more lesson taught."""
    return replace(record, taught=record.taught | {lesson})


def wait_for_start() -> None:
    """Say that all is ready and wait for a line."""
    say("ready")
    sys.stdin.readline()


def report(work: Callable[[], object]) -> None:
    """Say how it went."""
    try:
        work()
        say("saved")
    except GrouperError as error:
        say(type(error).__name__)


if __name__ == "__main__":
    {work.__name__: work for work in (change_for_ever, create_for_ever, add_taught, save_once, create_once, hold)}[
        sys.argv[1]
    ](Path(sys.argv[2]), int(sys.argv[3]))
