"""What takes long to work out is made once for a state of the class, whoever looks, and by one thread alone."""

from __future__ import annotations

from pathlib import Path
from threading import Thread, get_ident

import pytest

from grouper.errors import InputError
from grouper.faces.page.desk import Desk
from grouper.model.record import ClassRecord
from tests.sheets.examples import every_aim


def test_many_windows_ask_once(tmp_path: Path) -> None:
    """Twenty windows that look at one state get what was made once, in one thread; another state is made anew."""
    desk, record, made = Desk(tmp_path), every_aim(), []

    def counted(looked_at: ClassRecord) -> int:
        made.append(get_ident())
        return len(looked_at.roster.students)

    answers: list[int] = []
    windows = [Thread(target=lambda: answers.append(desk.worked_out("a", "1", record, counted))) for _ in range(20)]
    for window in windows:
        window.start()
    for window in windows:
        window.join(10)
    assert answers == [len(record.roster.students)] * 20 and len(made) == 1
    desk.worked_out("a", "2", record, counted)
    desk.worked_out("b", "2", record, counted)
    assert len(made) == 3 and len(set(made)) == 1 and get_ident() not in made


def test_what_goes_wrong_is_told_to_each(tmp_path: Path) -> None:
    """An error is an answer too: it comes back as it is, and the next state is worked out."""
    desk, record = Desk(tmp_path), every_aim()

    def refused(looked_at: ClassRecord) -> int:
        raise InputError("no")

    for _ in range(2):
        with pytest.raises(InputError, match="no"):
            desk.worked_out("a", "1", record, refused)
    assert desk.worked_out("a", "2", record, lambda _: 7) == 7


def test_an_erased_student_is_not_kept_in_what_was_made(tmp_path: Path) -> None:
    """Once a class has let go of something, nothing that was made of it before is kept."""
    desk, record = Desk(tmp_path), every_aim()
    desk.worked_out("a", "1", record, lambda _: "kept")
    desk.forget("a")
    assert desk.worked_out("a", "1", record, lambda _: "anew") == "anew"
