"""Losses of power, at every step of a command: ``python -m tests.bench.power_loss [DRAWS] [SEED]``.

``strace`` records what a command asks of the system in its folder: what it writes where, what it syncs, which names it
gives and takes. From this the folder is made anew as a disk may have it after a loss of power between any two steps:
what was synced is there; of everything else all, nothing, only what is in files, only the names, or drawn parts are,
writes whole or cut after a block of 512 bytes, with zeros where the file grew (after Pillai et al. 2014, All File
Systems Are Not Created Equal, OSDI: writes and changes of a folder come to the disk in any order). Then the class file
is read: it has to be sound on every page and hold what it held before or what the command made of it, and the latter
where the command had said that it was done.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing, redirect_stdout, suppress
from dataclasses import dataclass, field, replace
from io import StringIO
from pathlib import Path

from grouper.errors import GrouperError
from grouper.faces.cli.entry import main
from grouper.files.example import demo_folder
from grouper.files.store import ClassFile
from grouper.model.record import ClassRecord
from tests.bench.hostile_classes import a_class

BLOCK = 512
ROOT = Path(__file__).resolve().parents[2]
FORM_2 = ROOT / "tests" / "store" / "form2.sql"
NAME = "7b.class"
CALLS = (
    "openat,write,pwrite64,lseek,ftruncate,fsync,fdatasync,unlink,unlinkat,rename,renameat,renameat2,link,linkat,"
    "mkdir,mkdirat,fallocate,copy_file_range,sendfile,pwritev,writev,mmap"
)
UNREAD = {"mkdir", "mkdirat", "fallocate", "copy_file_range", "sendfile", "pwritev", "writev"}
"""Calls that nothing here knows how to do again: a record that has one in the folder is refused."""


@dataclass(frozen=True)
class Step:
    """One thing asked of the system: of the content of a file (by number), or of a name in the folder."""

    what: str  # write, size, sync, name, sync names, said
    file: int = 0
    at: int = 0
    data: bytes = b""
    names: tuple[tuple[str, int | None], ...] = ()


@dataclass
class Recording:
    """What stood in the folder before (names, contents by number), and the steps since."""

    names: dict[str, int]
    contents: list[bytes]
    steps: list[Step] = field(default_factory=list)


_CALL = re.compile(r"^(\d+) +(\w+)\((.*)\) += (-?\d+)")
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"(\.\.\.)?')
_HANDLE = re.compile(r"^(\d+)(?:<([^>]*)>)?")


def _bytes(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", ""))


class Reader:
    """Makes steps of the lines of a record."""

    def __init__(self, folder: Path) -> None:
        self.folder = os.path.realpath(folder)
        files = sorted(Path(folder).iterdir())
        self.made = Recording({path.name: n for n, path in enumerate(files)}, [path.read_bytes() for path in files])
        self.now = dict(self.made.names)
        self.open: dict[tuple[str, str], int] = {}
        self.reached: dict[tuple[str, str], int] = {}
        self.count = len(files)

    def _here(self, text: str) -> str | None:
        """The name in the folder of a path, None where it is elsewhere or the folder itself."""
        path = Path(os.path.normpath(Path(self.folder) / os.fsdecode(_bytes(text))))
        return path.name if str(path.parent) == self.folder else None

    def _rename(self, *names: tuple[str, int | None]) -> None:
        for name, file in names:
            if file is None:
                del self.now[name]
            else:
                self.now[name] = file
        self.made.steps.append(Step("name", names=names))

    def line(self, line: str) -> None:
        """One line of the record; calls that failed, or are about other places, make no step."""
        call = _CALL.match(line)
        if call is None:
            if "unfinished ..." in line and self.folder.encode().hex() in line.replace("\\x", ""):
                raise SystemExit(f"two processes were at work at once, which is not read: {line[:200]}")
            return
        process, name, given, result = call.groups()
        if int(result) < 0:
            return
        texts = [text for text, cut in _TEXT.findall(given)]
        if name == "openat":
            self._opened((process, result), self._here(texts[0]), given)
        elif name in ("unlink", "unlinkat", "rename", "renameat", "renameat2", "link", "linkat"):
            self._named(name, [self._here(text) for text in texts])
        else:
            self._in_file(name, process, given, texts, int(result))

    def _opened(self, handle: tuple[str, str], name: str | None, given: str) -> None:
        self.open.pop(handle, None)
        if name is None:
            return
        if name not in self.now:
            self._rename((name, self.count))
            self.made.contents.append(b"")
            self.count += 1
        self.open[handle], self.reached[handle] = self.now[name], 0
        if "O_TRUNC" in given:
            self.made.steps.append(Step("size", self.now[name], 0))

    def _named(self, call: str, names: list[str | None]) -> None:
        if all(name is None for name in names):
            return
        if call.startswith("unlink"):
            assert names[0] is not None
            self._rename((names[0], None))
            return
        old, new = names
        assert old is not None and new is not None, "into or out of the folder"
        gone: tuple[tuple[str, int | None], ...] = ((old, None),) if call.startswith("rename") else ()
        self._rename((new, self.now[old]), *gone)

    def _in_file(self, call: str, process: str, given: str, texts: list[str], result: int) -> None:
        number, place = _HANDLE.match(given).groups() if _HANDLE.match(given) else ("", "")  # type: ignore[union-attr]
        handle = (process, number)
        if call == "write" and number == "1":
            self.made.steps.append(Step("said", data=_bytes(texts[0])))
            return
        if call in ("fsync", "fdatasync") and os.fsdecode(_bytes(place or "")) == self.folder:
            self.made.steps.append(Step("sync names"))
            return
        if handle not in self.open:
            return
        file = self.open[handle]
        if call == "pwrite64":
            at = int(given.rsplit(", ", 1)[1])
            self.made.steps.append(Step("write", file, at, _bytes(texts[0])[:result]))
        elif call == "write":
            self.made.steps.append(Step("write", file, self.reached[handle], _bytes(texts[0])[:result]))
            self.reached[handle] += result
        elif call == "lseek":
            self.reached[handle] = result
        elif call == "ftruncate":
            self.made.steps.append(Step("size", file, int(given.rsplit(", ", 1)[1])))
        elif call in ("fsync", "fdatasync"):
            self.made.steps.append(Step("sync", file))
        elif call in UNREAD:
            raise SystemExit(f"this cannot be done again: {call}")


def recorded(folder: Path, arguments: list[str]) -> Recording:
    """Run a command in a folder and record what it asks of the system there."""
    reader = Reader(folder)
    with tempfile.TemporaryDirectory() as elsewhere:
        record = Path(elsewhere) / "record"
        tracing = ["strace", "-f", "-y", "-xx", "-s", "100000000", "-o", str(record), "-e", f"trace={CALLS}"]
        python = [sys.executable, "-c", "from grouper.faces.cli.entry import main; main()"]
        done = subprocess.run(
            [*tracing, *python, *arguments], cwd=folder, env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode:
            raise SystemExit(f"{arguments}: {done.stderr}")
        with record.open() as lines:
            for line in lines:
                reader.line(line)
    stands = {path.name: path.read_bytes() for path in folder.iterdir()}
    if _made(reader.made, range(len(reader.made.steps))) != stands:
        raise SystemExit(f"{arguments}: done again, the record does not make what the command made")
    return reader.made


def _made(recording: Recording, chosen: Iterable[int], cuts: Mapping[int, int] | None = None) -> dict[str, bytes]:
    """The folder after some of the steps; of writes in ``cuts`` so many bytes, zeros where a file grew."""
    contents = [bytearray(content) for content in recording.contents]
    names = dict(recording.names)
    for number in sorted(chosen):
        step = recording.steps[number]
        content = contents[step.file] if contents else bytearray()
        if step.what == "write":
            end, data = step.at + len(step.data), step.data[: (cuts or {}).get(number)]
            content.extend(bytes(max(0, end - len(content))))
            content[step.at : step.at + len(data)] = data
        elif step.what == "size":
            content[:] = content[: step.at].ljust(step.at, b"\0")
        for name, file in step.names:
            names.pop(name, None)
            if file is not None:
                names[name] = file
    return {name: bytes(contents[file]) for name, file in names.items()}


def _certain(steps: list[Step]) -> set[int]:
    """The steps that are on the disk whatever happens: those before a sync of what they are about."""
    certain, synced, names_synced = set[int](), set[int](), False
    for number in reversed(range(len(steps))):
        step = steps[number]
        if step.what == "sync":
            synced.add(step.file)
        names_synced = names_synced or step.what == "sync names"
        if (step.what == "name" and names_synced) or (step.what in ("write", "size") and step.file in synced):
            certain.add(number)
    return certain


def losses(
    recording: Recording, says: bytes, draws: int, draw: random.Random
) -> Iterator[tuple[bool, dict[str, bytes]]]:
    """Each folder that a loss of power may leave, once, and whether the command had said that it was done by then."""
    seen = set[tuple[bool, frozenset[tuple[str, bytes]]]]()
    for end in range(len(recording.steps) + 1):
        steps = recording.steps[:end]
        certain = _certain(steps)
        open_ones = {n for n, step in enumerate(steps) if n not in certain and step.what in ("write", "size", "name")}
        of_names = {n for n in open_ones if steps[n].what == "name"}
        found = [_made(recording, certain | part) for part in (set[int](), open_ones, of_names, open_ones - of_names)]
        for number in range(draws if open_ones else 0):
            part = {n for n in sorted(open_ones) if draw.random() < 0.5}
            cuts = {n: BLOCK * draw.randrange(1 + len(steps[n].data) // BLOCK) for n in part if draw.random() < 0.5}
            found.append(_made(recording, certain | part, cuts if number % 2 else None))
        said = any(step.what == "said" and says in step.data for step in steps)
        for folder in found:
            state = (said, frozenset(folder.items()))
            if state not in seen:
                seen.add(state)
                yield state[0], folder


def held_by(path: Path) -> ClassRecord | None:
    """What a class file holds, sound on every page; None where there is none."""
    if not path.exists():
        return None
    record = ClassFile(path).read().record
    with closing(sqlite3.connect(path)) as database:
        (said,) = database.execute("PRAGMA integrity_check(1)").fetchone()
    if said != "ok":
        raise ValueError(said)
    return record


@dataclass(frozen=True)
class Trial:
    """A command, the folder that it begins with, and the file that it writes beside the class file, if any."""

    name: str
    arguments: tuple[str, ...]
    made_by: Callable[[Path], None]
    says: bytes = b"\n"
    """A part of what it prints when it is done."""

    writes: str = ""
    gone: bytes = b""
    """What is in no byte of the folder once the command has said that it is done."""


@dataclass
class Outcome:
    """What came of all losses of power in one command."""

    steps: int = 0
    tried: int = 0
    before: int = 0
    faults: list[str] = field(default_factory=list)


def fault(folder: Path, said: bool, old: ClassRecord | None, new: ClassRecord | None, trial: Trial) -> tuple[str, bool]:
    """What is wrong with a folder after the power came back, empty where nothing is; whether it is as before."""
    if trial.writes:
        there = (folder / trial.writes).read_bytes() if (folder / trial.writes).exists() else b""
        if (there and not there.endswith(WHOLE)) or (said and not there):
            return f"{trial.writes} has {len(there)} bytes", False
    try:
        held = held_by(folder / NAME)
    except (GrouperError, ValueError, sqlite3.Error) as error:
        return str(error), False
    put_aside = sorted(folder.glob(f"{NAME}.damaged-*[0-9]"))
    if held is None and put_aside and not said:
        held = held_by(put_aside[0])  # restore: the old file has its other name, the copy has none yet
    if held not in ((new,) if said else (old, new)):
        return "said to be done, and not there" if said else "neither as before nor as after", False
    if said and trial.gone and any(trial.gone in path.read_bytes() for path in folder.iterdir()):
        return "what was erased is still there", False
    if (folder / NAME).exists() and any(".unfinished" in path.name for path in folder.iterdir()):
        return "unfinished files are left by the next command", False
    return "", held != new


def try_all(trial: Trial, draws: int, seed: int) -> Outcome:
    """Record a command once, and lose the power at each of its steps."""
    came, draw = Outcome(), random.Random(seed)
    with tempfile.TemporaryDirectory() as name:
        folder, after = Path(name) / "class", Path(name) / "after"
        folder.mkdir()
        trial.made_by(folder)
        shutil.copytree(folder, after)
        old = held_by(after / NAME)
        recording = recorded(folder, list(trial.arguments))
        new = held_by(folder / NAME)
        came.steps = len(recording.steps)
        for said, left in losses(recording, trial.says, draws, draw):
            shutil.rmtree(after)
            after.mkdir()
            for file, content in left.items():
                (after / file).write_bytes(content)
            wrong, as_before = fault(after, said, old, new, trial)
            came.tried += 1
            came.before += as_before and not wrong
            if wrong:
                came.faults.append(wrong.replace(f"{after}/", ""))
    return came


WHOLE = b"</html>"
"""How a report ends that is there whole."""


def planned(folder: Path) -> None:
    """A class of 23, planned, lesson 1 taught."""
    a_class(folder / NAME)


def older(folder: Path) -> None:
    """A class file of the second form, which the first command brings to today's."""
    with closing(sqlite3.connect(folder / NAME)) as database:
        database.executescript(FORM_2.read_text())


def with_copy(folder: Path) -> None:
    """A class file and a copy of it from before somebody was away."""
    planned(folder)
    shutil.copy(folder / NAME, folder / "copy.class")
    with ClassFile(folder / NAME).change("a note") as edit:
        edit.record = replace(edit.record, taught=frozenset())


def gone(folder: Path) -> None:
    """A class file in which a student has left."""
    planned(folder)
    student = ClassFile(folder / NAME).read().record.roster.students[0].id
    with redirect_stdout(StringIO()), suppress(SystemExit):
        main(["leave", str(folder / NAME), "--lesson", "2", student])


def empty(folder: Path) -> None:
    """No class file yet."""
    for table in ("roster", "lessons", "requests"):
        shutil.copy(demo_folder() / "odd" / f"{table}.csv", folder)


TABLES = ("--roster", "roster.csv", "--lessons", "lessons.csv", "--requests", "requests.csv")
TRIALS = (
    Trial("the first plan", ("plan", NAME, *TABLES, "--effort", "quick", "--yes"), empty, b"Saved in"),
    Trial("absent", ("absent", NAME, "--lesson", "2", "0002"), planned),
    Trial("plan", ("plan", NAME, "--effort", "quick", "--seed", "7"), planned, b"Saved in"),
    Trial("undo", ("undo", NAME), planned),
    Trial("erase", ("erase", NAME, "0001", "--yes"), gone, b"Erased from", gone=b"Aaliyah"),
    Trial("purge", ("purge", NAME, "--names", "--yes"), planned, b"Cleared away", gone=b"Aaliyah"),
    Trial("a file of the second form", ("history", NAME), older),
    Trial("restore", ("restore", NAME, "--from", "copy.class"), with_copy),
    Trial("report", ("report", NAME, "--to", "unit.html"), planned, writes="unit.html"),
)


if __name__ == "__main__":
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    print(
        "| command | steps | losses of power | as before | as after | neither |\n| --- | --- | --- | --- | --- | --- |"
    )
    for trial in TRIALS:
        came = try_all(trial, draws, seed)
        after = came.tried - came.before - len(came.faults)
        print(
            f"| {trial.name} | {came.steps} | {came.tried} | {came.before} | {after} | {len(came.faults)} |", flush=True
        )
        for line, count in Counter(came.faults).items():
            print(f"  {count} times: {line}", flush=True)
