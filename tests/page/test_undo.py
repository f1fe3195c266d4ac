"""Undo between two pages on one folder: it takes back what the teacher saw, or nothing."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from threading import Barrier, Thread

import pytest

from grouper.errors import InUseError
from grouper.faces.page.desk import Desk, Verb
from grouper.files.store import Change, Check, ClassFile
from grouper.model.record import ClassRecord
from tests.sheets.examples import every_aim

from .clients import NAME
from .serving import ROOT

TURNS = 15

UNDO_ELSEWHERE = """
import sys
from pathlib import Path
from grouper.errors import InUseError
from grouper.faces.page.desk import Desk
try:
    print("undone:", Desk(Path(sys.argv[1])).undo(sys.argv[2], sys.argv[3]))
except InUseError as error:
    print("refused:", error)
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one class, changed once."""
    ClassFile(tmp_path / NAME).create(every_aim(), "made")
    Desk(tmp_path).change(NAME, seed(1))
    return tmp_path


def seed(number: int) -> Verb:
    """A small change that can be told from others."""

    def verb(record: ClassRecord) -> tuple[ClassRecord, str]:
        return replace(record, seed=number), f"draw {number}"

    return verb


def version(folder: Path) -> str:
    return ClassFile(folder / NAME).read().version


def drawn(folder: Path) -> int:
    return ClassFile(folder / NAME).read().record.seed


def test_undo_takes_back_what_was_seen(folder: Path) -> None:
    """With nobody in between it works, and says what it took back."""
    assert Desk(folder).undo(NAME, version(folder)) == "draw 1" and drawn(folder) == 0


def test_a_change_by_another_page_is_not_taken_back(folder: Path) -> None:
    """Two desks: what one saw is no longer the last; the refusal speaks of the newer change."""
    seen = version(folder)
    Desk(folder).change(NAME, seed(2))
    with pytest.raises(InUseError, match="there is a newer change"):
        Desk(folder).undo(NAME, seen)
    assert drawn(folder) == 2


def test_not_even_a_change_between_looking_and_taking_back(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program comes in at the worst moment, after this one has looked at the file and before it locks it."""
    seen, undo = version(folder), ClassFile.undo

    def late_undo(self: ClassFile, read_at: str | None = None, check: Check | None = None) -> Change:
        Desk(folder).change(NAME, seed(3))
        return undo(self, read_at, check)

    monkeypatch.setattr(ClassFile, "undo", late_undo)
    with pytest.raises(InUseError, match="there is a newer change"):
        Desk(folder).undo(NAME, seen)
    assert drawn(folder) == 3


def test_another_process_with_an_old_version_takes_back_nothing(folder: Path) -> None:
    """The same across processes: refused with the old version, done with the new one."""
    seen = version(folder)
    Desk(folder).change(NAME, seed(4))
    assert _elsewhere(folder, seen).startswith("refused: nothing was taken back") and drawn(folder) == 4
    assert _elsewhere(folder, version(folder)) == "undone: draw 4" and drawn(folder) == 1


def _elsewhere(folder: Path, seen: str) -> str:
    command = [sys.executable, "-c", UNDO_ELSEWHERE, str(folder), NAME, seen]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=True).stdout.strip()


def test_whoever_is_first_nothing_unseen_is_lost(folder: Path) -> None:
    """A change and an undo at the same moment, many times: the change is always there afterwards."""
    for turn in range(10, 10 + TURNS):
        seen, outcome = version(folder), []
        barrier = Barrier(2)

        def undo(seen: str = seen, outcome: list[str] = outcome) -> None:
            try:
                outcome.append(Desk(folder).undo(NAME, seen))
            except InUseError:
                outcome.append("refused")

        def change(turn: int = turn) -> None:
            Desk(folder).change(NAME, seed(turn))

        _at_once(barrier, undo, change)
        assert drawn(folder) == turn and outcome


def _at_once(barrier: Barrier, *acts: Callable[[], None]) -> None:
    def wait(act: Callable[[], None]) -> None:
        barrier.wait()
        act()

    threads = [Thread(target=wait, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
