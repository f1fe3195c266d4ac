"""Commands that are killed, and commands at the same time, leave a class file that some command had finished with."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from processes import Worker

from .outside import Seen, faults
from .shell import Said, grouper, tell
from .tables import ClassOnDisk, a_class, activity, rows_of, write_rows

KILLS = 10


@pytest.fixture
def disk(tmp_path: Path) -> ClassOnDisk:
    """A planned class of 12."""
    made = a_class(tmp_path, 12, [activity(lesson, "pairs", 2, rounds=2) for lesson in (1, 2)])
    made.plan()
    return made


def changed_roster(disk: ClassOnDisk) -> Path:
    """The roster without its first student, and with a new one."""
    rows = [list(row.values()) for row in rows_of(disk.roster)]
    path = disk.folder / "changed.csv"
    write_rows(path, ("student_id", "name", "skill"), [*rows[1:], ("k99", "New Newman", 3)])
    return path


def calls(disk: ClassOnDisk) -> Iterator[tuple[object, ...]]:
    """The commands that are killed."""
    yield "plan", disk.file, "--effort", "quick", "--seed", 5
    yield "absent", disk.file, "--lesson", 1, "k04", "k05"
    yield "import", disk.file, "--roster", changed_roster(disk)


def ended(command: Worker) -> Said:
    """How a command ended that nobody killed."""
    said = command.end()
    assert isinstance(said, Said)
    return said


@pytest.mark.parametrize("which", range(3), ids=["plan", "absent", "import"])
def test_killed_at_any_moment(disk: ClassOnDisk, which: int) -> None:
    """SIGKILL at moments spread over the whole run: the file is as before or as after, and can be used."""
    call = list(calls(disk))[which]
    before, sound = disk.exported(), disk.file.read_bytes()
    begun = time.monotonic()
    assert ended(Worker(tell, *call)).status == 0
    lasts = time.monotonic() - begun
    after = disk.exported()
    assert after != before
    draw = random.Random(which)
    for number in range(KILLS):
        disk.file.write_bytes(sound)
        Worker(tell, *call).kill(lasts * (number + draw.random()) / KILLS * 1.1)
        assert disk.exported() in (before, after)
        grouper("fairness", disk.file, "--json")
    grouper("undo", disk.file, status=0 if disk.exported() == after else 2)
    assert disk.exported() == before


def test_a_first_plan_that_is_killed_leaves_no_file_or_a_whole_one(disk: ClassOnDisk) -> None:
    """The name is given to a file that is complete, or not at all; the next plan works either way."""
    new = disk.folder / "new.class"
    call = ("plan", new, "--roster", disk.roster, "--lessons", disk.lessons, "--effort", "quick")
    begun = time.monotonic()
    assert ended(Worker(tell, *call)).status == 0
    lasts = time.monotonic() - begun
    for number in range(4):
        new.unlink(missing_ok=True)
        Worker(tell, *call).kill(lasts * (0.6 + 0.1 * number))
        if new.exists():
            grouper("fairness", new, "--json")
    new.unlink(missing_ok=True)
    grouper(*call)


def test_two_absences_at_the_same_time_are_both_there(disk: ClassOnDisk) -> None:
    """Each waits for the other; in the end both students are away."""
    both = [Worker(tell, "absent", disk.file, "--lesson", 1, student) for student in ("k04", "k09")]
    assert [ended(command).status for command in both] == [0, 0]
    assert faults(Seen(disk, {(1, "k04"): 1, (1, "k09"): 1})) == []
    assert len(grouper("history", disk.file).out.splitlines()) == 3


def test_an_absence_during_a_plan_is_not_lost(disk: ClassOnDisk) -> None:
    """The plan ends with 0, or with 4 and a word on what to do; the absence stands in both cases."""
    plan = Worker(tell, "plan", disk.file, "--effort", "usual", "--seed", 3)
    time.sleep(0.5)
    absent = ended(Worker(tell, "absent", disk.file, "--lesson", 1, "k04"))
    planned = ended(plan)
    assert absent.status == 0
    assert planned.status in (0, 4)
    if planned.status == 4:
        assert "another command has changed" in planned.err
        assert "run this one again" in planned.err
    assert faults(Seen(disk, {(1, "k04"): 1})) == []


def test_a_change_while_a_plan_was_made_ends_with_4(disk: ClassOnDisk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plan is thrown away, and the file holds what the other command saved."""
    from grouper.faces.cli.commands import unit
    from grouper.planning.plan import plan_unit

    made = plan_unit

    def slowly(*given: object) -> object:
        grouper("absent", disk.file, "--lesson", 2, "k07")
        return made(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(unit, "plan_unit", slowly)
    said = grouper("plan", disk.file, "--effort", "quick", status=4)
    assert "run this one again" in said.err
    assert faults(Seen(disk, {(2, "k07"): 1})) == []
