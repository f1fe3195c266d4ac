"""Steps back and forth, what has begun, and lessons that ended early, in the class file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from class_states import state

from grouper.errors import InputError, InUseError
from grouper.files.store import ClassFile, history
from grouper.model.held import held_up_to, whole
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.ran import next_unit

TODAY, LATER = "2031-05-20", "2031-05-21"


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ClassFile:
    """A file with three changes, on a day that is the date of no lesson."""
    monkeypatch.setattr(history, "today", lambda: TODAY)
    made = ClassFile(tmp_path / "7b.class", wait=0.2)
    made.create(state(1), "plan")
    for number in (2, 3, 4):
        change_to(made, number)
    return made


def change_to(file: ClassFile, number: int) -> None:
    with file.change(f"state {number}") as edit:
        edit.record = state(number)


def test_every_step_back_and_forth_is_another_state(file: ClassFile) -> None:
    """No two states have one stamp, not even where the record is the same: whoever saw one knows the other apart."""
    stamps = [file.read().version]
    for step in (file.undo, file.undo, file.redo, file.redo, file.undo):
        step()
        stamps.append(file.read().version)
    assert len(set(stamps)) == len(stamps)


def test_an_undo_with_the_stamp_from_before_another_undo_takes_back_nothing(file: ClassFile) -> None:
    """Two windows that show the same change and both take it back take back one."""
    seen = file.read().version
    file.undo(read_at=seen)
    with pytest.raises(InUseError):
        file.undo(read_at=seen)
    assert file.read().record == state(3)


def test_what_was_taken_back_is_done_again_in_order(file: ClassFile) -> None:
    """Three back and three forth, with the words, the times and the record of each; then nothing is left."""
    log = file.history()
    assert [file.undo().what for _ in range(3)] == ["state 4", "state 3", "state 2"]
    for number in (2, 3, 4):
        assert file.redo().what == f"state {number}" and file.read().record == state(number)
    assert file.history() == log
    with pytest.raises(InputError, match="nothing to do again"):
        file.redo()
    assert file.undo().what == "state 4" and file.read().record == state(3)


def test_a_new_change_ends_what_can_be_done_again(file: ClassFile) -> None:
    """It was made on other ground."""
    file.undo()
    assert file.read().undone is not None
    change_to(file, 9)
    assert file.read().undone is None
    with pytest.raises(InputError, match="nothing to do again"):
        file.redo()


def test_a_check_stops_a_step_and_leaves_every_byte(file: ClassFile) -> None:
    """It is told both records, and what it raises comes out."""
    before = file.path.read_bytes()

    def refuse(now: ClassRecord, then: ClassRecord) -> None:
        assert (now, then) == (state(4), state(3))
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        file.undo(check=refuse)
    assert file.path.read_bytes() == before


def test_erasing_lets_go_of_what_could_be_done_again(file: ClassFile) -> None:
    """A name that only a change had that was taken back is in no byte of the file afterwards."""
    with file.change("somebody") as edit:
        leaver = Student("zz", "Qzxina Wvyk", first_lesson=1, last_lesson=0)
        edit.record = replace(edit.record, roster=edit.record.roster.with_student(leaver))
    with file.change("somebody else") as edit:
        edit.record = replace(edit.record, roster=edit.record.roster.with_student(replace(leaver, name="Qzxandra")))
    file.undo()
    assert b"Qzxandra" in file.path.read_bytes()
    file.forget("zz")
    assert b"Qzx" not in file.path.read_bytes() and file.read().undone is None


def test_what_has_begun_is_no_change_of_the_teachers(file: ClassFile) -> None:
    """It stands in no log, leaves the stamp and what can be done again, and no undo takes it back."""
    file.undo()
    log, version = file.history(), file.read().version
    file.begin(3, 2)
    assert (file.history(), file.read().version) == (log, version) and file.read().undone is not None
    assert file.read().record.begun == {3: 2} and file.read().record == state(3)
    file.undo()
    with file.change("look") as edit:
        assert edit.record.begun == {3: 2}
    file.begin(3, 0)
    assert file.read().record.begun == {}


def test_it_holds_on_its_day_and_later_on_the_lessons_own(file: ClassFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """The screen was tried for lesson 3, and lesson 4 was held on its date: later, lesson 3 is still to come."""
    file.begin(3, 2)
    monkeypatch.setattr(history, "today", lambda: "2031-03-04")
    file.begin(4, 3)
    monkeypatch.setattr(history, "today", lambda: LATER)
    assert file.read().record.begun == {4: 3}


def test_nothing_has_begun_of_another_unit(file: ClassFile) -> None:
    """Its third lesson is not the one that ran this morning; saved at once or after long planning."""
    for quick in (True, False):
        file.begin(3, 2)
        found = file.read()
        following = next_unit(found.record, found.record.unit).record
        if quick:
            with file.change("next unit") as edit:
                edit.record = following
        else:
            file.save(following, "next unit", read_at=found.version)
        assert file.read().record.begun == {} and file.read().record == following
        file.undo()


def test_a_taught_lesson_needs_no_word(file: ClassFile) -> None:
    """Lessons 1 and 2 are taught."""
    file.begin(1, 2)
    assert file.read().record.begun == {} and file.read().record.begun_in(1) == 0


def test_a_plan_saved_late_leaves_what_has_begun(file: ClassFile) -> None:
    """The third lesson began while it was made; the stamp of the file is the same, and its rounds stay."""
    version, stands = file.read().version, file.read().record
    file.begin(3, 2)
    file.save(replace(state(8), past=stands.past), "plan", read_at=version)
    saved, keys = file.read().record, state(8).lesson(3).keys
    assert [saved.plan.by_key[at] for at in keys[:2]] == [stands.plan.by_key[at] for at in keys[:2]]
    assert [saved.plan.by_key[at] for at in keys[2:]] == [state(8).plan.by_key[at] for at in keys[2:]]


def test_a_lesson_that_ended_early_is_kept_and_comes_back_by_undo(file: ClassFile) -> None:
    """Read again it is what was saved; with one undo all of it is there again."""
    with file.change("taught") as edit:
        edit.record = held_up_to(edit.record, 2, 2, rest_in=3)
    found = file.read().record
    assert found == held_up_to(state(4), 2, 2, rest_in=3) and len(found.plan.of_lesson(2)) == 2
    assert set(whole(found).plan.rounds) == set(state(4).plan.rounds)
    file.undo()
    assert file.read().record == state(4)


def test_who_is_erased_is_erased_from_what_was_not_held(file: ClassFile) -> None:
    """Their place in a round that was not held keeps a name that tells nothing."""
    with file.change("gone") as edit:
        gone = replace(edit.record.roster.by_id["005"], last_lesson=2)
        edit.record = held_up_to(replace(edit.record, roster=edit.record.roster.with_student(gone)), 2, 1)
    file.forget("005")
    found = file.read().record
    assert found.unheld[0].after == 1
    seated = {student for round_ in found.unheld[0].rounds for student in round_.students}
    assert "student 1" in seated and "005" not in seated and b"Pupil 005" not in file.path.read_bytes()
