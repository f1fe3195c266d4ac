"""One student's page for the parents: with how many classmates, in which rounds, which turns, and nobody else's facts.

Built field by field like the students' sheets: no classmate's name, rating or request has a field, no rating of the
student's own unless asked for, and never why somebody was away.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from grouper.faces.views.attendance_list import HELPER, shown_role
from grouper.faces.views.evidence import taught_alone
from grouper.faces.views.names import full_name, given_name
from grouper.faces.views.report_attendance import Attendance, attendance, attendance_of
from grouper.faces.wording.words import number_in_words, times_in_words
from grouper.games.days.season import duty_turns
from grouper.model.ledger import COACH, LEARNER, ledger_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Lesson
from grouper.planning.fairness import fairness_of
from grouper.privacy.names import Others, others_of
from grouper.words import counted, listed


@dataclass(frozen=True)
class ActivityLine:
    """What the student did in an activity: in how many of its rounds, in which group sizes and roles, in words."""

    activity: str
    rounds: int
    groups: str
    roles: str


@dataclass(frozen=True)
class LessonBlock:
    """A lesson of the student: its date as ``YYYY-MM-DD`` or empty, a word on attendance, and the activities."""

    title: str
    date: str
    there: str
    activities: tuple[ActivityLine, ...]


@dataclass(frozen=True)
class StudentReport:
    """The page; ``ratings`` are strand and value as text, empty unless asked for."""

    name: str
    title: str
    sentences: tuple[str, ...]
    lessons: tuple[LessonBlock, ...]
    ratings: tuple[tuple[str, str], ...] = ()
    with_ratings: bool = False


def student_report(
    record: ClassRecord, student: str, title: str = "", whole: bool = False, ratings: bool = False
) -> StudentReport:
    """The page of a student (id), over the lessons taught, or over the whole unit where asked or none is taught."""
    chosen = record if whole or not record.taught else taught_alone(record)
    person = record.roster.by_id[student]
    others = others_of(record.roster, person)
    own = tuple((others.masked(strand), number_in_words(value)) for strand, value in person.ratings.items())
    return StudentReport(
        full_name(person),
        title,
        tuple(_sentences(chosen, person)),
        tuple(_blocks(chosen, person, others)),
        own if ratings else (),
        ratings,
    )


def _sentences(record: ClassRecord, person: Student) -> Iterator[str]:
    name = given_name(full_name(person))
    rounds = [round_ for round_ in record.plan.rounds if round_.group_of(person.id)]
    lessons = len({round_.key.lesson for round_ in rounds})
    if not rounds:
        yield f"{name} was in no group."
        return
    partners = ledger_of(rounds).partners([person.id])[person.id]
    over = f"in {counted(len(rounds), 'round')} over {counted(lessons, 'lesson')}"
    yield f"{name} worked with {counted(partners, 'different classmate')} {over}."
    yield _there(name, attendance_of(record, person))
    yield from _turns(record, person, name)


def _there(name: str, counts: Attendance) -> str:
    took_part = counts.full + counts.part
    if took_part == counts.lessons:
        return f"{name} took part in {_all(counts.lessons)}."
    return f"{name} took part in {took_part} of {counted(counts.lessons, 'lesson')}."


def _all(lessons: int) -> str:
    return {1: "the lesson", 2: "both lessons"}.get(lessons, f"all {lessons} lessons")


def _turns(record: ClassRecord, person: Student, name: str) -> Iterator[str]:
    roles = _roles(record, person)
    coach, learner = roles.pop(COACH, 0), roles.pop(LEARNER, 0)
    if coach or learner:
        yield f"In coaching pairs {name} began as coach {_often(coach)} and as learner {_often(learner)}; the two swap."
    for role, times in sorted(roles.items()):
        yield f"{name} was {role} {times_in_words(times)}."
    trio = fairness_of(record).trio
    if trio and trio.by_student.get(person.id):
        often = times_in_words(trio.by_student[person.id])
        yield f"As the number of students was odd, {name} worked in a group of three {often}."
    on_duty = duty_turns(record)
    duty = on_duty.by_student.get(person.id, 0) if on_duty else 0
    if duty:
        yield f"{name}'s team looked after {counted(duty, 'game')} of other teams."


def _roles(record: ClassRecord, person: Student) -> Counter[str]:
    """How often the student had each role; words that are not for everybody's eyes count as helping."""
    groups = (round_.group_of(person.id) for round_ in record.plan.rounds)
    roles = (group.role(person.id) for group in groups if group)
    return Counter(shown_role(role, HELPER) for role in roles if role)


def _often(times: int) -> str:
    return times_in_words(times) if times else "never"


def _blocks(record: ClassRecord, person: Student, others: Others) -> Iterator[LessonBlock]:
    for lesson in record.unit.lessons:
        if person.belongs_in(lesson.number) and record.plan.of_lesson(lesson.number):
            lines = tuple(_lines(record, lesson, person, others))
            yield LessonBlock(f"Lesson {lesson.number}", lesson.date, _word(record, lesson, person, lines), lines)


def _word(record: ClassRecord, lesson: Lesson, person: Student, lines: tuple[ActivityLine, ...]) -> str:
    """How the student was there, where they did not simply take part."""
    aside = [a for a in record.absences_of(person.id, lesson.number) if a.state == "aside"]
    if aside or (not lines and person.availability == "aside"):
        role = shown_role(aside[-1].role, HELPER) if aside else HELPER
        return f"there as {role}"
    if lines:
        return ""
    return "not there" if attendance(record, person, lesson).away else "in no group"


def _lines(record: ClassRecord, lesson: Lesson, person: Student, others: Others) -> Iterator[ActivityLine]:
    for place, activity in enumerate(lesson.activities, start=1):
        groups = [
            group
            for round_ in record.plan.of_lesson(lesson.number)
            if round_.key.activity == place and (group := round_.group_of(person.id))
        ]
        if groups:
            sizes = dict.fromkeys(_size(len(group.members)) for group in groups)
            roles = dict.fromkeys(shown_role(group.role(person.id)) for group in groups)
            said = listed([role for role in roles if role])
            yield ActivityLine(others.masked(activity.name), len(groups), listed(list(sizes)), said)


def _size(people: int) -> str:
    return {1: "alone", 2: "in a pair", 3: "in a three"}.get(people, f"in a group of {people}")
