"""The roster again on the page: who is who is asked, what changes is shown before, and requests are told to the teacher
alone."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from builders import apart, class_of_eight, pairs, with_plan
from werkzeug.test import TestResponse

from grouper.faces.page.reading import PASTED, handed, pasted
from grouper.files.roster import read_roster
from grouper.files.store import ClassFile
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Unit
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


@pytest.mark.parametrize(
    ("path", "form"),
    [("lesson/2/guest", {"guest": "ANA"}), ("class/student", {"called": "ana"}), ("class/join", {"joined": "Ana"})],
)
def test_a_name_that_is_taken_is_asked_about(house: House, path: str, form: dict[str, str]) -> None:
    """A guest, a new name or a new student that is somebody's in the class already: nothing before a yes, two after."""
    teacher = house.teacher()
    sent = house.form(student="cem", availability="as it is", strand="", **form)
    asked = teacher.post(f"/c/{NAME}/{path}", sent)
    assert asked.status_code == 409 and "Ana is in the class already" in page(asked)
    assert house.file.read().record == a_record()
    assert teacher.post(f"/c/{NAME}/{path}", {**sent, "sure": "yes"}).status_code == 303
    names = [student.name.casefold() for student in house.file.read().record.roster.active]
    assert names.count("ana") == 2
    assert "ana (2)" in page(teacher.get(f"/c/{NAME}/class")).casefold()


def test_one_student_joins_and_one_leaves(house: House) -> None:
    """By name, from the lesson that is open on; both are in the groups, or not, at once, and undo takes it back."""
    teacher = house.teacher()
    before = house.file.read().record
    assert teacher.post(f"/c/{NAME}/class/join", house.form(joined="Ida  Neu")).status_code == 303
    record = house.file.read().record
    new = next(student for student in record.roster.students if student.name == "Ida Neu")
    assert [new.id in round_.students for round_ in record.plan.rounds] == [False, True]
    assert teacher.post(f"/c/{NAME}/class/leave", house.form(student="cem")).status_code == 303
    record = house.file.read().record
    assert record.roster.by_id["cem"].archived and not any("cem" in r.students for r in record.plan.rounds[1:])
    for _ in range(2):
        teacher.post(f"/c/{NAME}/undo", house.form(version=house.file.read().version))
    assert house.file.read().record == before


def test_two_newcomers_on_the_first_day_are_in_its_groups(house: House) -> None:
    """Before anything was taught two join one after the other, and both are in every group round from the first on."""
    with house.file.change("the first day") as edit:
        edit.record = replace(edit.record, taught=frozenset(), begun={})
    teacher = house.teacher()
    for name in ("Ida Neu", "Uli Frisch"):
        assert teacher.post(f"/c/{NAME}/class/join", house.form(joined=name)).status_code == 303
    record = house.file.read().record
    new = {student.id for student in record.roster.students if student.name in ("Ida Neu", "Uli Frisch")}
    assert len(new) == 2 and all(new <= set(round_.students) for round_ in record.plan.rounds)
    assert "Ida" in page(teacher.get(f"/c/{NAME}/lesson/1"))


@pytest.mark.parametrize("lessons", ["none yet", "all taught"])
def test_somebody_comes_or_goes_where_no_lesson_is_open(house: House, lessons: str) -> None:
    """Before the first lesson is made, and after the last was taught: who came is in the next one, who left is not."""
    with house.file.change("no lesson is open") as edit:
        unit = {"none yet": Unit(()), "all taught": edit.record.unit}[lessons]
        over = frozenset(lesson.number for lesson in unit.lessons)
        edit.record = replace(edit.record, unit=unit, taught=over, plan=edit.record.plan if over else Plan(), begun={})
    teacher = house.teacher()
    assert teacher.post(f"/c/{NAME}/class/join", house.form(joined="Ida Neu")).status_code == 303
    assert teacher.post(f"/c/{NAME}/class/leave", house.form(student="cem")).status_code == 303
    assert teacher.post(f"/c/{NAME}/unit/add", house.form()).status_code == 303
    record = house.file.read().record
    new = next(student for student in record.roster.active if student.name == "Ida Neu")
    there = {s.id for s in record.roster.students if s.belongs_in(record.unit.lessons[-1].number)}
    assert new.id in there and "cem" not in there and len(there) == 8


@pytest.mark.parametrize(("sure", "people"), [("yes", 8), ("other", 9)])
def test_who_was_there_before_is_back_or_is_somebody_else(house: House, sure: str, people: int) -> None:
    """The page asks which; whoever is back is the same person."""
    teacher = house.teacher()
    teacher.post(f"/c/{NAME}/class/leave", house.form(student="cem"))
    asked = teacher.post(f"/c/{NAME}/class/join", house.form(joined="Cem"))
    assert asked.status_code == 409 and "Cem has been in the class before" in page(asked)
    assert teacher.post(f"/c/{NAME}/class/join", house.form(joined="Cem", sure=sure)).status_code == 303
    roster = house.file.read().record.roster
    assert len(roster.students) == people and len(roster.active) == 8
    assert roster.by_id["cem"].archived == (sure == "other")


def test_a_pasted_list_with_two_of_one_name_is_told_apart_on_the_spot(house: House) -> None:
    """Both are shown at once; one is taken out and put back; a called name counts; a heading and addresses are said."""
    teacher = house.teacher()
    text = "Class 7c\nMia Berg\nMia Berg\nAlexandra Can <alex@school.example>\nkim@school.example\nKim"
    look = teacher.post("/new", house.form(into="", title="7c", list=text)).headers["Location"]
    shown = page(teacher.get(look))
    assert shown.count("same name") == 2 and 'id="take"' in shown
    assert "&#39;Class 7c&#39;, taken for a heading" in shown and "beside 1 name" in shown
    assert "&#39;kim@school.example&#39;, an e-mail address and no name" in shown
    fields = {"name-s01": "Mia Berg", "name-s02": "Mia Berg", "name-s03": "Alexandra Can", "name-s04": "Kim"}
    teacher.post(look, house.form(out="s01", **fields))
    shown = page(teacher.get(look))
    assert "same name" not in shown and "<bdi>Mia Berg</bdi>, put back" in shown
    teacher.post(look, house.form(back="s01", **fields))
    assert page(teacher.get(look)).count("same name") == 2
    teacher.post(look, house.form(out="s01", **fields))
    teacher.post(look, house.form(do="take", **{"called-s03": "Sasha", **fields}))
    names = [student.name for student in ClassFile(house.file.path.parent / "7c.class").read().record.roster.students]
    assert names == ["Mia Berg", "Sasha Can", "Kim"]


def test_ratings_that_are_pasted_beside_names_are_ratings(house: House) -> None:
    """Two columns of a spreadsheet without its header, the rows counted or not; a comma counts as a point."""
    assert read("1\tMia Berg\t3\n2\tAli Can\t4,5\n") == [("Mia Berg", {"rating": 3.0}), ("Ali Can", {"rating": 4.5})]
    assert read("Mia Berg;3;\nAli Can;;2\n") == [("Mia Berg", {"rating": 3.0}), ("Ali Can", {"rating 2": 2.0})]
    assert read("Berg, Mia\nCan, Ali\n") == [("Mia Berg", {}), ("Ali Can", {})]


def read(text: str) -> list[tuple[str, dict[str, float]]]:
    """The students of a pasted list with their ratings."""
    students = read_roster(handed(PASTED, pasted(text).data)).roster.students
    return [(student.name, dict(student.ratings)) for student in students]


def test_two_of_one_name_on_the_roster_again(house: House) -> None:
    """A class with two of one name gets its list pasted anew: nobody is taken for somebody else without a word."""
    teacher = house.teacher()
    teacher.post(f"/c/{NAME}/class/join", house.form(joined="Ana", sure="yes"))
    before = house.file.read().record
    text = "\n".join(student.name for student in before.roster.students)
    look = teacher.post("/new", house.form(into=NAME, title="", list=text)).headers["Location"]
    asked = page(teacher.get(look))
    assert "Who is who?" in asked and asked.count("on the new list is") == 2
    ids = [student.id for student in before.roster.students if student.name == "Ana"]
    rows = [f"s{place:02}" for place, s in enumerate(before.roster.students, start=1) if s.name == "Ana"]
    told = {f"who-{row}": f"known-{was}" for row, was in zip(rows, ids, strict=True)}
    assert teacher.post(look, house.form(do="take", **told)).status_code == 303
    after = house.file.read().record
    assert [(s.id, s.name) for s in after.roster.active] == [(s.id, s.name) for s in before.roster.active]


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
