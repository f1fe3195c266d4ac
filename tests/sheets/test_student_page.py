"""One student's page: nobody else is in it, and nothing that was not asked for."""

from __future__ import annotations

import re
from dataclasses import fields, replace

import pytest

from grouper.faces.sheets.report import student_text
from grouper.faces.views.report_student import ActivityLine, LessonBlock, StudentReport, student_report
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Unit
from tests.builders import class_of as plain_class
from tests.builders import pairs, with_plan
from tests.privacy.classes import OUT_OF, demo_class, invented_class
from tests.sheets.page_text import PageText


def body(page: str) -> str:
    """What is shown."""
    return "\n".join(PageText(page).texts)


def traces_of_others(record: ClassRecord, student: Student, text: str) -> list[str]:
    """Names, words of names that the student does not share, and ids of all others that stand in a text."""
    own = set(re.findall(r"\w+", student.name.casefold()))
    others = [other for other in record.roster.students if other.id != student.id]
    words = {word for other in others for word in re.findall(r"\w{3,}", other.name.casefold())} - own
    traces = words | {other.id for other in others} | {other.name.casefold() for other in others}
    return sorted(trace for trace in traces if re.search(rf"(?<!\w){trace}(?!\w)", text.casefold()))


@pytest.mark.parametrize("record", [demo_class(), invented_class()], ids=["demo", "invented"])
@pytest.mark.parametrize("ratings", [False, True])
def test_no_other_student_is_on_it(record: ClassRecord, ratings: bool) -> None:
    """For everybody of two classes: no name, word of a name or id of anybody else."""
    for student in record.roster.students:
        page = body(student_text(record, student.id, "7b", whole=True, ratings=ratings))
        assert traces_of_others(record, student, page) == [], student.name


def test_that_search_can_fail(record: ClassRecord) -> None:
    """It finds a classmate in the middle of a text, by a part of the name and by the id."""
    one, other = record.roster.students[:2]
    assert traces_of_others(record, one, f"with {other.name.split()[0]}, {other.id}") == ["ben", other.id]


def test_names_in_what_the_teacher_typed_are_masked(record: ClassRecord) -> None:
    """An activity that is called after a classmate."""
    lessons = list(record.unit.lessons)
    activity = replace(lessons[0].activities[0], name="Okafor's drill")
    lessons[0] = replace(lessons[0], activities=(activity, *lessons[0].activities[1:]))
    page = student_text(replace(record, unit=Unit(tuple(lessons))), record.roster.students[0].id, "7b")
    assert "Okafor" not in page and "[classmate]" in page


def test_ratings_are_there_only_when_asked_for(record: ClassRecord) -> None:
    """And then the student's own."""
    student = record.roster.students[6].id
    assert "7.12" not in body(student_text(record, student, "7b"))
    page = body(student_text(record, student, "7b", ratings=True))
    assert "7.12" in page
    assert [text for text in ("1.12", "2.12", "3.12", "8.12") if text in page] == []


def test_no_request_cause_note_size_band_or_id_is_on_it(record: ClassRecord) -> None:
    """For all: 'sprained ankle' typed as a role becomes helping."""
    for student in record.roster.students:
        page = body(student_text(record, student.id, "7b", ratings=True)).casefold()
        hidden = ("sprained", "ankle", "apart", "request", "quarrel", "size band", OUT_OF, "easy")
        assert [word for word in hidden if word in page] == []


def test_sentences_of_a_class_counted_on_paper() -> None:
    """Five in pairs over two rounds: s05 is in the trio with s01 and s02, then with s03 and s04."""
    record = with_plan(plain_class(5, pairs(2)), "s01 s02 s05 | s03 s04", "s01 s02 | s03 s04 s05")
    view = student_report(record, "s05")
    assert view.sentences == (
        "Student worked with 4 different classmates in 2 rounds over 1 lesson.",
        "Student took part in the lesson.",
        "As the number of students was odd, Student worked in a group of three twice.",
    )
    assert view.lessons[0].activities == (ActivityLine("Passing", 2, "in a three", ""),)


def test_attendance_says_that_and_never_why(record: ClassRecord) -> None:
    """Away, there to help, and late, in plain words."""
    away, late, helps = (student_report(record, record.roster.students[place].id) for place in (2, 3, 4))
    assert "took part in 1 of 2 lessons" in away.sentences[1] and away.lessons[0].there == "not there"
    assert "took part in both lessons" in late.sentences[1] and late.lessons[0].there == "there as helper"
    assert helps.lessons[1].there == "there as scorer"


def test_roles_are_counted(record: ClassRecord) -> None:
    """Coach and learner in the second lesson's two rounds."""
    for student in record.roster.students:
        roles = [group.role(student.id) for r in record.plan.of_lesson(2) if (group := r.group_of(student.id))]
        said = " ".join(student_report(record, student.id).sentences)
        expected = {1: "began as coach once", 2: "began as coach twice", 0: ""}[roles.count("coach")]
        assert expected in said


def test_who_has_not_been_in_a_group_yet_has_a_page_too(record: ClassRecord) -> None:
    """Somebody who joins later."""
    new = Student("qz999", "Nova Late", first_lesson=3)
    joined = replace(record, roster=record.roster.with_student(new))
    view = student_report(joined, new.id)
    assert view.sentences == ("Nova was in no group.",) and view.lessons == ()
    assert "Nova Late" in student_text(joined, new.id, "7b")


def test_the_view_has_no_field_that_is_not_on_the_list() -> None:
    """A field that is added has to be added here too, by somebody who thought about it."""
    listed = {
        StudentReport: {"name", "title", "sentences", "lessons", "ratings", "with_ratings"},
        LessonBlock: {"title", "date", "there", "activities"},
        ActivityLine: {"activity", "rounds", "groups", "roles"},
    }
    assert {kind: {field.name for field in fields(kind)} for kind in listed} == listed
