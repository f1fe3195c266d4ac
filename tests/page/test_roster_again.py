"""The roster again on the page: who is who is asked, what changes is shown before, and requests are told to the teacher
alone."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from builders import apart, class_of_eight, pairs, with_plan
from werkzeug.test import TestResponse

from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.planning.adjust import taught

from .clients import NAME, House, Visitor

FOUR_PAIRS = "ana ben | cem dia | eva fin | gil hana"
OTHER_PAIRS = "ana cem | ben dia | eva gil | fin hana"
UNIT = f"/c/{NAME}/unit"


def a_record() -> ClassRecord:
    """Ana and Ben are apart, and are a pair in lesson 1, which has been taught."""
    record = with_plan(class_of_eight(pairs(), lessons=2), FOUR_PAIRS, OTHER_PAIRS)
    return replace(taught(record, 1), requests=(apart("ana", "ben"),))


@pytest.fixture
def house(tmp_path: Path) -> House:
    """A page on that class."""
    return House(tmp_path, a_record())


def given(house: House, teacher: Visitor, lines: list[str]) -> str:
    """Give a list; the address where it is looked at."""
    text = "\n".join(["student_id,name", *lines]).encode()
    sent = house.form(into=NAME, title="", file=(BytesIO(text), "office.csv"))
    return teacher.post("/new", sent, content_type="multipart/form-data").headers["Location"]


def page(answer: TestResponse) -> str:
    return answer.get_data(as_text=True)


def lines(house: House, ids: str = "", without: str = "") -> list[str]:
    students = house.file.read().record.roster.students
    return [f"{ids}{s.id},{s.name}" for s in students if s.id != without]


def test_other_ids_are_shown_before_and_taken_in(house: House) -> None:
    """Everybody is recognised; who leaves, and the request that ends with them, stand there before and after."""
    teacher = house.teacher()
    look = given(house, teacher, lines(house, "9-", without="ana"))
    before = page(teacher.get(look))
    assert "Ben is the same student under another id (id ben, now 9-ben)" in before
    assert "no longer on the roster, archived: Ana" in before
    ended = "The request for Ana and Ben apart ends, as Ana has left the class."
    assert ended in before
    assert teacher.post(look, house.form(do="take")).status_code == 303
    record = house.file.read().record
    assert len(record.roster.students) == 8 and record.requests[0].pair == ("9-ben", "ana")
    assert ended in page(teacher.get(UNIT))
    assert "Ana and Ben" not in page(teacher.get(f"/c/{NAME}/lesson/2"))


def test_who_is_in_doubt_is_asked_about(tmp_path: Path) -> None:
    """Two of one name under other ids: no taking in until it is chosen, and one choice is enough."""
    record = a_record()
    kims = {"ana", "ben"}
    people = tuple(replace(s, name="Kim Stone") if s.id in kims else s for s in record.roster.students)
    house = House(tmp_path, replace(record, roster=replace(record.roster, students=people)))
    teacher = house.teacher()
    look = given(house, teacher, lines(house, "9-"))
    asked = page(teacher.get(look))
    assert 'name="who-9-ana"' in asked and 'value="known-ben"' in asked and 'id="take"' not in asked
    refused = teacher.post(look, house.form(do="take"))
    assert refused.status_code == 400 and "not sure who is who" in page(refused)
    teacher.post(look, house.form(**{"do": "look", "who-9-ana": "known-ben", "who-9-ben": ""}))
    again = page(teacher.get(look))
    assert 'id="take"' in again and "doubts" not in again
    teacher.post(look, house.form(**{"do": "take", "who-9-ana": "known-ben"}))
    found = house.file.read().record
    assert [s.id for s in found.roster.students][:2] == ["9-ben", "9-ana"]
    assert found.requests[0].pair == ("9-ana", "9-ben")


def test_a_request_on_the_page_mends_at_once_or_is_refused(house: House) -> None:
    """The groups to come keep it as soon as it is there; what clashes is refused with both, and nothing is changed."""
    teacher = house.teacher()
    form = house.form(kind="apart", one="cem", other="ana")
    assert teacher.post(f"/c/{NAME}/requests", form).status_code == 303
    record = house.file.read().record
    assert not any({"ana", "cem"} <= set(group.members) for group in record.plan.rounds[1].groups)
    assert record.plan.rounds[0] == a_record().plan.rounds[0]
    refused = teacher.post(f"/c/{NAME}/requests", house.form(kind="together", one="cem", other="ana"))
    assert refused.status_code == 422 and "Ana and Cem are to be kept apart" in page(refused)
    assert house.file.read().record == record


def test_as_it_ran_says_whom_it_put_together_and_to_the_teacher_alone(house: House) -> None:
    """On the page after the lesson, and not at the door or on the screen."""
    teacher = house.teacher()
    after = f"/c/{NAME}/lesson/2/after"
    form = page(teacher.get(after))
    label = next(g.label for g in house.file.read().record.plan.rounds[1].groups if "ana" in g.members)
    was = next(g.label for g in house.file.read().record.plan.rounds[1].groups if "ben" in g.members)
    shown = form.split('name="shown-1" value="')[1].split('"')[0]
    sent = house.form(**{"was-1-ben": was, "ran-1-ben": label, "shown-1": shown})
    assert teacher.post(f"{after}/differed", sent).status_code == 303
    said = "Not kept: lesson 2: Ana and Ben are to be kept apart and share a group."
    assert said in page(teacher.get(after))
    assert "kept apart" not in page(teacher.get(f"/c/{NAME}/lesson/2"))
    assert "kept apart" not in page(house.student().get(f"/screen/{NAME}/2"))


@pytest.mark.parametrize(("path", "form"), [("lesson/2/guest", {"guest": "ANA"}), ("class/student", {"called": "ana"})])
def test_a_name_that_is_taken_is_refused(house: House, path: str, form: dict[str, str]) -> None:
    """A guest, or a new name, that is somebody's in the class already."""
    teacher = house.teacher()
    sent = house.form(student="cem", availability="as it is", strand="", **form)
    refused = teacher.post(f"/c/{NAME}/{path}", sent)
    assert refused.status_code == 400 and "Ana is in the class already" in page(refused)


def test_a_guest_who_comes_again_is_the_same_guest(tmp_path: Path) -> None:
    """One person in two lessons, the first of which is closed, so that whom they met is remembered."""
    house = House(tmp_path, with_plan(class_of_eight(pairs(), lessons=3), FOUR_PAIRS, OTHER_PAIRS, FOUR_PAIRS))
    teacher = house.teacher()
    for lesson in (1, 3):
        teacher.post(f"/c/{NAME}/lesson/{lesson}/guest", house.form(guest="Zoe Visitor"))
        with house.file.change("taught") as edit:
            edit.record = taught(edit.record, lesson)
    guests = [s for s in house.file.read().record.roster.students if s.name == "Zoe Visitor"]
    rounds = house.file.read().record.plan.rounds
    assert len(guests) == 1
    assert [guests[0].id in round_.students for round_ in rounds] == [True, False, True]


def test_two_of_one_name_at_the_door(tmp_path: Path) -> None:
    """A number each, in the order in which they came, and it stays when one has left; no id anywhere."""
    record = a_record()
    people = (*record.roster.students, Student("44-0815", "Ana", first_lesson=2))
    house = House(tmp_path, replace(record, roster=replace(record.roster, students=people)))
    door = page(house.teacher().get(f"/c/{NAME}/lesson/2"))
    assert "Ana (1)" in door and "Ana (2)" in door and ">44-0815<" not in door
    gone = replace(people[0], last_lesson=1)
    (tmp_path / "later").mkdir()
    later = House(tmp_path / "later", replace(record, roster=replace(record.roster, students=(gone, *people[1:]))))
    assert "Ana (2)" in page(later.teacher().get(f"/c/{NAME}/lesson/2"))


def test_ratings_in_words_get_their_worth_on_the_page_and_keep_it(house: House) -> None:
    """Typed where the list is looked at, taken in with it, and there for the next list; a slip is said in place."""
    teacher = house.teacher()
    lines = [f"{s.id},{s.name},{'weak' if n % 2 else 'good'}" for n, s in enumerate(a_record().roster.students)]

    def look_of_words() -> str:
        text = "\n".join(["student_id,name,throw", *lines]).encode()
        sent = house.form(into=NAME, title="", file=(BytesIO(text), "office.csv"))
        return teacher.post("/new", sent, content_type="multipart/form-data").headers["Location"]

    look = look_of_words()
    assert "say once what each is worth" in page(teacher.get(look))
    teacher.post(look, house.form(do="look", scale="weak"))
    assert "is not WORD=NUMBER" in page(teacher.get(look))
    teacher.post(look, house.form(do="take", scale="weak=1, good=4"))
    assert [s.ratings["throw"] for s in house.file.read().record.roster.students[:2]] == [4.0, 1.0]
    assert 'value="weak=1, good=4"' in page(teacher.get(look_of_words()))
