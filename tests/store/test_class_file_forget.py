"""Erasing a student: gone from every byte, while what others did stays."""

from __future__ import annotations

import struct
from dataclasses import replace
from pathlib import Path

import pytest
from builders import game, ladder
from class_states import state

from grouper.errors import InputError, InUseError
from grouper.files.store import ClassFile, placing
from grouper.model.ledger import ledger_of
from grouper.model.levers import Adaptation
from grouper.model.noted import Absence, ChosenTask, Learnt, Note, TaskResult
from grouper.model.plan import Group, Round
from grouper.model.play import Assignment, Score
from grouper.model.record import ClassRecord
from grouper.model.request import Request
from grouper.model.roster import Student
from grouper.model.unit import RoundKey

LEAVER = Student("id-qzx", "Qzxina Wvyk", {"throw": 0.123456789}, "L", "aside", last_lesson=4)
TRACES = (b"qzx", b"Qzx", b"Wvyk", b"QZX", b"0.123456789")


FIXTURES = (game(1, 1, 1, 2, 3), game(2, 1, 2, 3, 1))


def played(game: Assignment) -> Assignment:
    """A game with the student in the team at home."""
    return replace(game, score=Score(3, 1), lineup=((LEAVER.id, "004"), ("002",)))


def with_leaver(number: int) -> ClassRecord:
    """The state with this number, one of its students being the one who leaves."""
    record = state(number)
    (first, *others) = record.roster.students
    return replace(
        record,
        roster=replace(record.roster, students=(LEAVER, *others)),
        requests=(Request("apart", LEAVER.id, "002"), Request("together", "003", "004", 2, 3)),
        absences=(Absence(2, LEAVER.id, "aside", role="Qzx scores"), Absence(3, "002")),
        plan=replace(record.plan, rounds=tuple(renamed(round_, first.id) for round_ in record.plan.rounds)),
        notes=(Note(1, 0, "Qzxina hurt her arm"), Note(2, 1, "went well")),
        learnt=(Learnt(LEAVER.id, "throw", 0.123456789, 0.5, 1), Learnt("002", "throw", None, 0.25, 1)),
        results=(
            TaskResult(RoundKey(1, 1, 1), f"{LEAVER.name}'s team", "easy"),
            TaskResult(RoundKey(1, 1, 1), "Red", "hard"),
        ),
        chosen_tasks=(
            ChosenTask(RoundKey(1, 1, 1), f"{LEAVER.name}'s team", (2,), (LEAVER.id, "002")),
            ChosenTask(RoundKey(1, 1, 1), "Red", (1,), ("003",)),
        ),
        events=(
            replace(record.games[0], activity=f"{LEAVER.name}'s cup", assignments=tuple(map(played, FIXTURES))),
            *(event for event in record.events if not event.is_games),
        ),
        challenges=(ladder("Passing", f"as {LEAVER.name.upper()} does", "further"),),
        adaptations=(Adaptation(LEAVER.id, "also", "seated"), Adaptation("002", "never", "hopping")),
        past=tuple(
            replace(past, groups=renamed(past.as_round, first.id).groups, activity=f"{LEAVER.name}'s game")
            for past in record.past
        ),
    )


def renamed(round_: Round, student: str) -> Round:
    def layer(groups: tuple[Group, ...]) -> tuple[Group, ...]:
        return tuple(
            replace(group, members=tuple(LEAVER.id if m == student else m for m in group.members)) for group in groups
        )

    return replace(round_, groups=layer(round_.groups), planned=layer(round_.planned))


@pytest.fixture
def file(tmp_path: Path) -> ClassFile:
    """A file with a long past that the student shows up in: words, ways back, rows that were deleted."""
    made = ClassFile(tmp_path / "7b.class")
    made.create(state(1), "plan")
    for number in range(2, 12):
        with made.change(f"absent: {LEAVER.name}") as edit:
            edit.record = with_leaver(number) if number % 3 else state(number)
    return made


def test_no_byte_of_the_student_is_left(file: ClassFile) -> None:
    """Id, name, rating and the words of changes are nowhere in the file, freed pages included."""
    assert all(trace in file.path.read_bytes() for trace in TRACES[:3])
    rating = sqlite_float(LEAVER.ratings["throw"])
    assert rating in file.path.read_bytes()
    file.forget(LEAVER.id)
    left = file.path.read_bytes()
    assert [trace for trace in (*TRACES, rating) if trace in left] == []
    assert [path.name for path in file.path.parent.iterdir()] == [file.path.name]


def sqlite_float(value: float) -> bytes:
    """As it stands in the file: 8 bytes, big-endian (SQLite, 'Database File Format', section 2.1, serial type 7)."""
    return struct.pack(">d", value)


def test_freed_pages_are_overwritten_before_they_are_given_back(
    file: ClassFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed between the erasing and the packing of the file, nothing is left to read either."""

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(placing, "pack", killed)
    with pytest.raises(KeyboardInterrupt):
        file.forget(LEAVER.id)
    left = file.path.read_bytes()
    assert [trace for trace in TRACES if trace in left] == []


def test_the_counts_of_all_others_stay(file: ClassFile) -> None:
    """Who met whom is the same, with a neutral name in the place of the student's."""
    before = ledger_of(file.read().record.plan.rounds)
    file.forget(LEAVER.id)
    after = ledger_of(file.read().record.plan.rounds)
    neutral = {LEAVER.id: "student 1"}
    expected = {
        frozenset(neutral.get(student, student) for student in pair): times for pair, times in before.meetings.items()
    }
    assert {frozenset(pair): times for pair, times in after.meetings.items()} == expected


def test_what_is_known_of_the_student_goes(file: ClassFile) -> None:
    """Left are the lessons they belonged to and missed; requests of others stay, and so does the order."""
    file.forget(LEAVER.id)
    found = file.read().record
    assert found.roster.students[0] == Student("student 1", "student 1", last_lesson=4)
    assert found.requests == (Request("together", "003", "004", 2, 3),)
    assert found.absences == (Absence(2, "student 1", "aside"), Absence(3, "002"))
    assert found.notes == (Note(2, 1, "went well"),)
    assert found.learnt == (Learnt("002", "throw", None, 0.25, 1),)
    assert found.adaptations == (Adaptation("002", "never", "hopping"),)
    assert found.results == (
        TaskResult(RoundKey(1, 1, 1), "Red", "hard"),
        TaskResult(RoundKey(1, 1, 1), "student 1's team", "easy"),
    ), "in order again, under the new name"
    assert found.chosen_tasks == (
        ChosenTask(RoundKey(1, 1, 1), "Red", (1,), ("003",)),
        ChosenTask(RoundKey(1, 1, 1), "student 1's team", (2,), ("student 1", "002")),
    )
    assert found.games[0].activity == "student 1's cup"
    assert {game.lineup for game in found.games[0].assignments} == {(("student 1", "004"), ("002",))}
    assert any("student 1" in group.members for past in found.past for group in past.groups)
    assert found.roster.students[1:] == state(11).roster.students[1:]


def test_the_neutral_name_is_new(file: ClassFile) -> None:
    """Two erased students are two still."""
    file.forget(LEAVER.id)
    with file.change("left") as edit:
        second = replace(edit.record.roster.by_id["002"], last_lesson=3)
        edit.record = replace(edit.record, roster=edit.record.roster.with_student(second))
    file.forget("002")
    assert [student.name for student in file.read().record.roster.students[:2]] == ["student 1", "student 2"]


def test_nothing_from_before_can_be_undone(file: ClassFile) -> None:
    """The log holds the erasing alone, without a name; what comes after can be undone."""
    version = file.read().version
    number = file.history()[-1].number
    file.forget(LEAVER.id)
    assert file.read().version != version
    assert [(change.number, change.what) for change in file.history()] == [(number + 1, "a student was erased")]
    with pytest.raises(InputError, match="erased a student"):
        file.undo()
    with file.change("state 20") as edit:
        edit.record = state(20)
    assert file.undo().what == "state 20"


def test_who_is_in_the_class_or_unknown_is_not_erased(file: ClassFile) -> None:
    """The file is left as it is, and the message says what to do."""
    before = file.path.read_bytes()
    with pytest.raises(InputError, match="still in the class; take them out of the class first"):
        file.forget("002")
    with pytest.raises(InputError, match="no student with the id 'nobody'"):
        file.forget("nobody")
    assert file.path.read_bytes() == before


def test_somebody_erased_is_not_erased_again(file: ClassFile) -> None:
    """Not even with another number: the message says that nothing is left."""
    file.forget(LEAVER.id)
    before = file.path.read_bytes()
    with pytest.raises(InputError, match="'student 1' is somebody who has been erased already"):
        file.forget("student 1")
    assert file.path.read_bytes() == before


def test_a_student_leaves_and_is_erased_in_one_change(file: ClassFile) -> None:
    """The record without them in the lessons to come and the erasing are written together, or neither is."""
    found = file.read()
    gone = replace(found.record.roster.by_id["002"], last_lesson=3)
    left = replace(found.record, roster=found.record.roster.with_student(gone))
    file.forget("002", left, found.version)
    assert [change.what for change in file.history()] == ["a student was erased"]
    assert file.read().record.roster.by_id["student 1"].last_lesson == 3


def test_what_another_command_did_meanwhile_is_not_lost_by_erasing(file: ClassFile) -> None:
    """The record was made from another state: nothing is erased."""
    found = file.read()
    with file.change("state 20") as edit:
        edit.record = state(20)
    before = file.path.read_bytes()
    with pytest.raises(InUseError, match="run this one again"):
        file.forget(LEAVER.id, found.record, found.version)
    assert file.path.read_bytes() == before
