"""Erasing a student by the real command, in a process of its own; the bytes of the file are searched."""

from __future__ import annotations

import os
import pty
import sqlite3
import struct
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from unicodedata import normalize

import pytest
from builders import ladder

from grouper.files.store import ClassFile
from grouper.model.ledger import ledger_of
from grouper.model.levers import Adaptation
from grouper.model.noted import Absence, Note
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Roster, Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.plan import plan_unit
from tests.cli.shell import CALL, ROOT, Said, end, start

PEOPLE = (
    "Qzxina Wvyk-Ruhl", "José Xlvarqz", "王小嬗", "이준뷁", "يوسف الظظاد", "Ζήξης Ψώρας", "अरिझव ठाकुर",
    "Qzxon Hjolm", "Ana Berg", "Ben Okafor", "Cem Aydin", "Dia Nair", "Eva Sand", "Fin Roth", "Gil Mori", "Hana Lind",
)  # fmt: skip
"""Each name has letters that stand together nowhere else in the file."""


def taught_class() -> ClassRecord:
    """Sixteen in pairs and teams over two lessons, the first of them taught, everybody in many places of the file."""
    students = tuple(
        Student(f"id-{place}-zq", name, {"throwing": 0.123456789 + place}, "M") for place, name in enumerate(PEOPLE)
    )
    activities = (Activity("Passing", size=2, rounds=2), Activity("Game", groups=4))
    unit = Unit((Lesson(1, activities), Lesson(2, (*activities, Activity("Relay after Qzxina's way", size=4)))))
    requests = tuple(Request("apart", students[place].id, students[place + 8].id) for place in range(7))
    planned = plan_unit(ClassRecord(Roster(students, ("throwing",)), unit, requests), effort="quick").record
    return replace(
        planned,
        taught=frozenset({1}),
        absences=tuple(Absence(1, student.id, "aside", 1, f"{student.name} hurt") for student in students[:7]),
        notes=tuple(Note(1 + place // 4, place % 4, f"today {name} did well") for place, name in enumerate(PEOPLE[:6])),
        challenges=(ladder("Passing", "as Qzxina Wvyk-Ruhl does", "further"),),
        adaptations=(Adaptation("id-0-zq", "also", "seated"), Adaptation("id-1-zq", "never", "hopping")),
    )


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class file with a log of changes in which everybody is named."""
    file = ClassFile(tmp_path_factory.mktemp("erase") / "7b.class")
    file.create(taught_class(), "first plan")
    for place, name in enumerate(PEOPLE[:7]):
        with file.change(f"rated anew: {name} (id-{place}-zq)") as edit:
            known = edit.record.roster.students[place]
            better = replace(known, ratings={"throwing": known.ratings["throwing"] + 0.5})
            edit.record = replace(edit.record, roster=edit.record.roster.with_student(better))
    return file.path


@pytest.fixture
def file(original: Path, tmp_path: Path) -> ClassFile:
    """A copy of it."""
    (tmp_path / "7b.class").write_bytes(original.read_bytes())
    return ClassFile(tmp_path / "7b.class")


def grouper(*arguments: object, status: int = 0) -> Said:
    """The command as a process."""
    said = end(start(*arguments))
    assert said.status == status, said.all
    return said


def traces(place: int) -> list[bytes]:
    """A name and its words in the ways that texts are coded, its id, and its ratings as SQLite and JSON have them."""
    name = PEOPLE[place]
    texts = {name, *name.replace("-", " ").split(), f"id-{place}-zq", f"{place}.123456789", f"{place}.623456789"}
    texts |= {normalize("NFD", text) for text in texts} | {text.upper() for text in texts}
    coded = [text.encode(code) for text in texts for code in ("utf-8", "utf-16-le", "utf-16-be")]
    return [*coded, *(struct.pack(">d", rating + place) for rating in (0.123456789, 0.623456789))]


def found(place: int, folder: Path) -> list[bytes]:
    """Traces of a student in any file of a folder."""
    return [trace for trace in traces(place) for path in folder.iterdir() if trace in path.read_bytes()]


@pytest.mark.parametrize("place", range(7))
def test_no_byte_is_left(file: ClassFile, place: int) -> None:
    """Names in seven scripts: whole and in words, composed or not, UTF-8 and UTF-16, id, ratings, log, free pages."""
    folder = file.path.parent
    assert len(found(place, folder)) >= 4
    grouper("erase", file.path, f"id-{place}-zq", "--yes")
    assert found(place, folder) == []
    with sqlite3.connect(file.path) as database:
        assert database.execute("PRAGMA freelist_count").fetchone() == (0,)
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert [path.name for path in folder.iterdir()] == ["7b.class"]
    assert [change.what for change in file.history()] == ["a student was erased"]


def test_others_stay(file: ClassFile) -> None:
    """Those with much in the file are found as before, and who met whom in the lesson taught too."""
    before = file.read().record
    grouper("erase", file.path, "Qzxina Wvyk-Ruhl", "--yes")
    after = file.read().record
    assert all(found(place, file.path.parent) for place in range(1, 7))
    assert [note for note in before.notes if "Qzxina" not in note.text] == list(after.notes)
    assert [r for r in before.requests if "id-0-zq" not in r.pair] == list(after.requests)
    assert _meetings(after) == {
        frozenset("student 1" if who == "id-0-zq" else who for who in pair): times
        for pair, times in _meetings(before).items()
    }


def _meetings(record: ClassRecord) -> dict[frozenset[str], int]:
    return {frozenset(pair): times for pair, times in ledger_of(record.plan.of_lesson(1)).meetings.items()}


def test_whoever_is_in_the_class_leaves_first(file: ClassFile) -> None:
    """In the same command: the lesson to come is mended without them, with the requests of the others kept."""
    said = grouper("erase", file.path, "id-0-zq", "--yes")
    record = file.read().record
    assert "is still in the class and leaves it from lesson 2 on" in said.out
    assert all("student 1" not in round_.students for round_ in record.plan.of_lesson(2))
    assert all(len(round_.students) == 15 for round_ in record.plan.of_lesson(2))


def test_what_the_teacher_called_things(file: ClassFile) -> None:
    """The given name goes out of the name of an activity and a task; it is said before."""
    said = grouper("erase", file.path, "id-0-zq", "--yes")
    record = file.read().record
    assert record.unit.lessons[1].activities[2].name == "Relay after student 1's way"
    assert record.challenges[0].levers[0].settings[0].words == "as student 1 does"
    assert [one.what for one in record.adaptations] == ["hopping"]
    assert "The name is replaced in: 'Relay after Qzxina's way' and 'as Qzxina Wvyk-Ruhl does'." in said.out
    assert "Notes with a part of the name go: lesson 1." in said.out


def test_a_part_of_the_name_that_is_a_word_too_stays_and_is_told(tmp_path: Path) -> None:
    """Amy Long and the long jump: the family name stays in the activity, the teacher is told; the note goes."""
    students = (Student("a1", "Amy Long"), Student("b2", "Ben Okafor"))
    unit = Unit((Lesson(1, (Activity("Long jump", size=2), Activity("Amy's choice", size=2))),))
    file = ClassFile(tmp_path / "7b.class")
    file.create(ClassRecord(Roster(students), unit, notes=(Note(1, 0, "a long lesson"),)), "made")
    said = grouper("erase", file.path, "Amy Long", "--yes")
    record = file.read().record
    assert [activity.name for activity in record.unit.lessons[0].activities] == ["Long jump", "student 1's choice"]
    assert record.notes == () and "which stay; rename them if need be: 'Long jump'." in said.out


def test_a_given_name_that_two_have_stays_in_other_texts(tmp_path: Path) -> None:
    """'Mia's team' may be called after the other Mia; it is told, and the teacher decides."""
    students = (Student("a1", "Mia Berg"), Student("b2", "Mia Roth"))
    unit = Unit((Lesson(1, (Activity("Mia's team", size=2), Activity("as Mia Berg does", size=2))),))
    file = ClassFile(tmp_path / "7b.class")
    file.create(ClassRecord(Roster(students), unit), "made")
    grouper("erase", file.path, "Mia Berg", "--yes")
    names = [activity.name for activity in file.read().record.unit.lessons[0].activities]
    assert names == ["Mia's team", "as student 1 does"]


def test_two_texts_do_not_become_one(tmp_path: Path) -> None:
    """Activities called by the given and by the whole name are two still."""
    students = (Student("a1", "Amy Berg"), Student("b2", "Ben Okafor"))
    unit = Unit((Lesson(1, (Activity("Amy", size=2), Activity("Amy Berg", size=2))),))
    file = ClassFile(tmp_path / "7b.class")
    file.create(ClassRecord(Roster(students), unit), "made")
    grouper("erase", file.path, "a1", "--yes")
    names = [activity.name for activity in file.read().record.unit.lessons[0].activities]
    assert names == ["student 1", "student 1 (2)"]


def test_ids_that_are_names_stay_ids(tmp_path: Path) -> None:
    """Erasing Ana does not touch a classmate whose id is 'ana b' or a group they are in."""
    students = (Student("x", "Ana Berg"), Student("ana", "Bea Holm"))
    file = ClassFile(tmp_path / "7b.class")
    unit = Unit((Lesson(1, (Activity("Passing", size=2),)),))
    record = plan_unit(ClassRecord(Roster(students), unit), effort="quick").record
    file.create(replace(record, taught=frozenset({1})), "made")
    grouper("erase", file.path, "x", "--yes")
    found_ = file.read().record
    assert {s.id for s in found_.roster.students} == {"student 1", "ana"}
    assert set(found_.plan.rounds[0].students) == {"student 1", "ana"}


def test_without_a_yes_nothing_happens(file: ClassFile) -> None:
    """It says what would happen and what it cannot touch, and ends with 2; not a byte is other than before."""
    before = file.path.read_bytes()
    backup = file.path.with_name("7b.class.form1-1.backup")
    backup.write_bytes(b"older")
    part = file.path.with_name(".unit.html.0a1b2c3d.part")
    part.write_text("half a report, which may hold the name")
    said = grouper("erase", file.path, "id-0-zq", status=2)
    assert part.name in said.out
    assert "The name and the id become 'student 1' everywhere" in said.out
    assert "copies of the file" in said.out and "printed paper" in said.out and backup.name in said.out
    assert "add --yes" in said.err and file.path.read_bytes() == before


@pytest.mark.parametrize(("answer", "status"), [("n\n", 1), ("y\n", 0)])
def test_on_a_terminal_it_asks(file: ClassFile, answer: str, status: int) -> None:
    """No leaves the file as it is, yes erases."""
    before = file.path.read_bytes()
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", CALL, "erase", str(file.path), "id-0-zq"],
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    os.write(ours, answer.encode())
    out, _ = process.communicate(timeout=60)
    os.close(ours)
    os.close(theirs)
    assert process.returncode == status, out
    assert b"Erase Qzxina Wvyk-Ruhl?" in out
    assert (file.path.read_bytes() == before) == (status == 1)


def test_who_is_not_there_is_an_error(file: ClassFile) -> None:
    """With names that are near."""
    said = grouper("erase", file.path, "Qzxina Wvyk", "--yes", status=2)
    assert "did you mean Qzxina Wvyk-Ruhl" in said.err
