"""What the disk costs, and what happens where it is full: ``python -m tests.bench.disk [FOLDER]``.

The first prints the time of a commit with the folder synced after it (``synchronous = EXTRA``) beside one without. The
second, where this process may mount file systems of its own, erases a student on disks of many sizes, from hardly
larger than the file to ample: what is said has to be so, and the next command with room has to finish what was left.
"""

from __future__ import annotations

import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from grouper.errors import InputError
from grouper.files.store import ClassFile
from grouper.planning.attend import out_of_class
from tests.bench.hostile_classes import a_class

COMMITS = 200


def commit_cost(folder: Path) -> None:
    """Both kinds of commit in turn on one file, so that what else the machine does falls on both."""
    times: dict[str, list[float]] = {"FULL": [], "EXTRA": []}
    with tempfile.TemporaryDirectory(dir=folder) as name:
        path = Path(name) / "7b.class"
        a_class(path)
        with closing(sqlite3.connect(path, isolation_level=None)) as database:
            for number in range(2 * COMMITS):
                kind = ("FULL", "EXTRA")[number % 2]
                database.execute(f"PRAGMA synchronous = {kind}")
                begun = time.perf_counter()
                database.execute("BEGIN IMMEDIATE")
                database.execute("UPDATE setting SET value = ? WHERE name = 'seed'", (str(number),))
                database.execute("COMMIT")
                times[kind].append(time.perf_counter() - begun)
    full, extra = (statistics.median(times[kind]) * 1000 for kind in ("FULL", "EXTRA"))
    print(f"a commit: {full:.1f} ms with FULL, {extra:.1f} ms with EXTRA, ratio {extra / full:.2f}")


def erase_on(path: Path) -> str:
    """Erase a student of the class at the path; what came of it, and whether it is so."""
    file = ClassFile(path)
    before = file.read()
    person = before.record.roster.students[0]
    try:
        left = file.forget(person.id, out_of_class(before.record, person.id).record, before.version)
    except InputError as error:
        true = file.read().record == before.record and "nothing was changed" in str(error)
        return "refused, and nothing was changed" if true else f"UNTRUE: {error}"
    held = path.read_bytes()
    if person.name.encode() in held or person.id.encode() in {
        s.id.encode() for s in file.read().record.roster.students
    }:
        return "UNTRUE: not erased"
    return "erased, writing anew left to do" if left else "erased"


def full_disks() -> None:
    """One file system after the other, each a little larger."""
    outcomes = Counter[str]()
    with tempfile.TemporaryDirectory(dir="/dev/shm") as name:
        sound, disk = Path(name) / "sound.class", Path(name) / "disk"
        disk.mkdir()
        a_class(sound)
        for number in range(12):
            with ClassFile(sound).change(f"change {number}") as edit:
                edit.record = replace(edit.record, seed=number + 1)
        size = sound.stat().st_size
        for room in range(size + 8192, 3 * size, 12_288):
            mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={room}", "tmpfs", disk], check=False)
            if mounted.returncode:
                print("this process may not mount a file system: full disks were not tried")
                return
            try:
                (disk / "7b.class").write_bytes(sound.read_bytes())
                came = erase_on(disk / "7b.class")
                subprocess.run(["mount", "-o", "remount,size=64m", disk], check=True)
                with closing(sqlite3.connect(disk / "7b.class")) as database:
                    ClassFile(disk / "7b.class").read()
                    mark = str(database.execute("SELECT version FROM stamp").fetchone()[0])
                if mark.endswith("+") or len(list(disk.iterdir())) > 1:
                    came = "UNFINISHED by the next command"
                outcomes[came] += 1
            finally:
                subprocess.run(["umount", disk], check=True)
    print(f"{outcomes.total()} full disks: {dict(outcomes)}")


if __name__ == "__main__":
    if os.environ.get("GROUPER_OWN_MOUNTS") is None and sys.platform == "linux":
        commit_cost(Path(sys.argv[1] if len(sys.argv) > 1 else tempfile.gettempdir()))
        again = ["unshare", "--mount", sys.executable, "-m", "tests.bench.disk"]
        subprocess.run(again, env={**os.environ, "GROUPER_OWN_MOUNTS": "1"}, check=False)
    else:
        full_disks()
