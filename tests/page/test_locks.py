"""While the page is open commands lose nothing: no part of its process opens a class file but through SQLite.

Source: SQLite, 'How To Corrupt An SQLite Database File', section 2.2.1 (read from memory): on POSIX, closing any
descriptor of a file drops all locks that the process holds on it, those of other threads too.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from io import BytesIO
from pathlib import Path
from time import monotonic, sleep
from traceback import format_stack
from typing import Any

import pytest

from grouper.errors import InputError
from grouper.faces.page.desk import Desk
from grouper.faces.page.reading import Draft
from grouper.faces.page.screens.keeping import CLEAR
from grouper.files.atomic import is_class_file, refuse_class_file
from grouper.files.opening import open_file
from grouper.files.store import ClassFile, bytes_of_new
from tests.bench.page_stress import stress
from tests.sheets.examples import every_aim

from .clients import NAME, House
from .serving import ROOT, run

OLD_FORM = ROOT / "tests" / "store" / "form2.sql"
COMMAND = ("absent", NAME, "--lesson", "1", "0006")


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A planned class."""
    file = ClassFile(tmp_path / NAME)
    file.create(every_aim(), "made")
    return file


def test_no_look_at_a_class_file_takes_its_lock_away(file: ClassFile) -> None:
    """Whatever this process asks about the file in the middle of a change, a command has to wait, and gives up."""
    path = file.path
    with file.change("held") as edit:
        assert is_class_file(path) and Desk(path.parent).names == (NAME,)
        assert Desk(path.parent).file(NAME).read().record == edit.record
        with pytest.raises(InputError, match="is a class file"):
            refuse_class_file(path)
        with pytest.raises(InputError):
            open_file(path)
        refused = run(path.parent, *COMMAND)
    assert refused.returncode == 4, refused.stderr
    done = run(path.parent, *COMMAND)
    assert done.returncode == 0 and len(file.read().record.absences) > 0


_watched: list[Path] = []
_opened: list[str] = []
_connected: list[str] = []


def _see(event: str, arguments: tuple[object, ...]) -> None:
    """Note each class file that is opened by anything but SQLite, whose own opens are no event of this name; and those
    that SQLite opens to read or write what is in them, rather than to look whether they are class files."""
    if event == "sqlite3.connect" and "mode=rw" in str(arguments[0]):
        _connected.append(str(arguments[0]))
    if event == "open" and _watched and isinstance(arguments[0], (str, bytes, os.PathLike)):
        with suppress(OSError, ValueError):
            there = Path(os.fsdecode(arguments[0])).stat()
            for path in _watched[0].glob("*.class"):
                if os.path.samestat(there, path.stat()):
                    _opened.append(f"{path.name}: {''.join(format_stack(limit=4)[:-1])}")


sys.addaudithook(_see)


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[list[str]]:
    """Class files of the folder that this process opens while the test runs."""
    _opened.clear()
    _watched.append(tmp_path)
    yield _opened
    _watched.clear()


def test_such_an_opening_is_seen(file: ClassFile, opened: list[str]) -> None:
    """The next test can fail: whoever reads, copies or only opens a class file is caught; SQLite is not."""
    file.read()
    assert opened == []
    deeds: list[Callable[[], object]] = [
        file.path.read_bytes,
        lambda: file.path.open("rb").close(),
        lambda: os.close(os.open(file.path, os.O_RDONLY)),
        lambda: shutil.copy(file.path, file.path.with_suffix(".copy")),
    ]
    for number, deed in enumerate(deeds, start=1):
        deed()
        assert len(opened) == number


def test_a_tap_opens_the_class_file_once(tmp_path: Path) -> None:
    """One connection changes it and tells the state that it is in then; one more shows it."""
    house = House(tmp_path, every_aim())
    teacher = house.teacher()
    door = f"/c/{NAME}/lesson/1"
    for deed in (
        lambda: teacher.get(door),
        lambda: teacher.post(f"{door}/tap", house.form(student="0006", tap="away", since="1")),
        lambda: teacher.get(door),
    ):
        _connected.clear()
        assert deed().status_code in (200, 303)
        assert len(_connected) == 1
    assert len(house.file.read().record.absences) > 0


def test_whatever_the_page_does_it_opens_class_files_through_sqlite_alone(tmp_path: Path, opened: list[str]) -> None:
    """Every address is asked for, every form sent, and what reads, makes, hands over, renews or erases is done."""
    house = House(tmp_path, every_aim())
    with closing(sqlite3.connect(tmp_path / "old.class")) as old:
        old.executescript(OLD_FORM.read_text())
    teacher, student = house.teacher(), house.student()
    gets, posts = ([path for m, path in house.addresses() if m == method] for method in ("GET", "POST"))
    for path in gets:
        assert teacher.get(path.replace(NAME, "old.class")).status_code < 500
        assert teacher.get(path).status_code < 500
    student.get(f"/screen/{NAME}/1")
    student.get(f"/screen/{NAME}/1/rounds?round=1")
    for path, form in _deeds(house):
        answer = teacher.post(path, house.form(**form))
        assert answer.status_code in (200, 303), (path, answer.text)
    for path in posts:
        assert teacher.post(path, house.form()).status_code < 500
        assert teacher.post(path.replace(NAME, "old.class"), house.form()).status_code < 500
    assert teacher.get(f"/c/{NAME}/keeping/handover").data.startswith(b"SQLite format 3")
    assert (tmp_path / "8a.class").exists() and list(tmp_path.glob("old.class.form*")) != []
    assert opened == []


def _deeds(house: House) -> Iterator[tuple[str, dict[str, Any]]]:
    """Forms that do something, each made when it is its turn."""
    here = f"/c/{NAME}"
    table = "name\nAnn Ash\nBen Birch\nCem Cedar\nDana Dogwood\n"
    lessons = "lesson,activity,size,rounds\n1,Passing,2,2\n2,Passing,2,2\n"
    yield f"{here}/lesson/1/tap", {"student": "0006", "tap": "away", "since": "1"}
    yield f"{here}/lesson/1/guest", {"guest": "Gil"}
    yield f"{here}/undo", {"version": house.file.read().version}
    yield f"{here}/unit/file", {"file": (BytesIO(lessons.encode()), "lessons.csv"), "sure": "yes"}
    yield f"{here}/unit/plan", {"effort": "quick"}
    while house.desk.proposals.run_of(NAME).state == "running":  # type: ignore[union-attr]
        sleep(0.05)
    if house.desk.proposals.run_of(NAME).state == "done":  # type: ignore[union-attr]
        yield f"{here}/unit/plan/take", {"number": "1"}
    yield f"{here}/tasks/file", {"file": (BytesIO(house.teacher().get(f"{here}/tasks/file").data), "tasks.csv")}
    for into, title in (("", "8a"), (NAME, "7b")):
        number = house.desk.drafts.add(Draft("list.csv", table.encode(), title, into=into))
        yield f"/new/{number}", {"do": "take", "title": title}
    gone = house.file.read().record.roster.students[0]
    erased = {"student": gone.id, "typed": gone.name, "version": house.file.read().version}
    yield f"{here}/keeping/erase", erased
    yield f"{here}/keeping/clear", {"typed": CLEAR, "version": house.file.read().version}


def test_windows_and_commands_at_work_together_lose_nothing(tmp_path: Path) -> None:
    """Windows that look and tap, and commands beside them: all that was acknowledged is there, and the file is sound.

    ``tests/bench/page_stress.py`` does the same for as long as it is told to. That no look lets go of the lock is shown
    above one by one.
    """
    figures = stress(tmp_path, seconds=60, windows=6, taps=2, commands=2, enough=6)
    assert (figures.lost, figures.troubles, figures.integrity) == ([], [], "ok")
    assert min(figures.taps, figures.commands) >= 6 and figures.looks > 20, str(figures)


def test_what_stands_in_the_folder_stops_no_page(tmp_path: Path) -> None:
    """A pipe, a link to nowhere, a folder, an empty, damaged, cut or foreign file: a sentence, at once, and no 500."""
    house = House(tmp_path, every_aim())
    whole = bytes_of_new(every_aim(), "made")
    os.mkfifo(tmp_path / "pipe.class")
    (tmp_path / "link.class").symlink_to(tmp_path / "nowhere")
    (tmp_path / "folder.class").mkdir()
    (tmp_path / "empty.class").touch()
    (tmp_path / "text.class").write_text("lesson,activity\n" * 100)
    (tmp_path / "cut.class").write_bytes(whole[:6000])
    (tmp_path / "noise.class").write_bytes(whole[:200] + bytes(range(256)) * 100)
    (tmp_path / "later.class").write_bytes(whole[:5000] + b"\xff" * (len(whole) - 5000))
    os.mkfifo(tmp_path / "pipe.class-journal")
    teacher, start = house.teacher(), monotonic()
    said = teacher.get("/classes")
    assert said.status_code == 200 and "pipe.class" in said.text and "link.class" in said.text
    for name in sorted(path.name for path in tmp_path.glob("*.class") if path.name != NAME):
        for page in ("", "unit", "class", "evidence", "keeping", "lesson/1", "version"):
            answer = teacher.get(f"/c/{name}/{page}")
            assert 400 <= answer.status_code < 500 and "fault of grouper" not in answer.text, (name, page, answer.text)
        answer = teacher.post(f"/c/{name}/lesson/1/tap", house.form(student="0006", tap="away", since="1"))
        assert 400 <= answer.status_code < 500, (name, answer.text)
    assert teacher.get(f"/c/{NAME}/unit").status_code == 200
    assert monotonic() - start < 10


def test_a_full_folder_is_listed_soon(tmp_path: Path) -> None:
    """Ten thousand files beside the class file: the list takes seconds at first and is quick from then on."""
    house = House(tmp_path, every_aim())
    for number in range(10_000):
        (tmp_path / f"{number:05}.csv").write_bytes(b"name\nAnn\n" * 100)
    teacher, times = house.teacher(), []
    for _ in range(2):
        start = monotonic()
        assert "7b" in teacher.get("/classes").text
        times.append(monotonic() - start)
    assert times[0] < 10 and times[1] < 2, times
    start = monotonic()
    assert teacher.get(f"/c/{NAME}/version").status_code == 200
    assert monotonic() - start < 0.5
