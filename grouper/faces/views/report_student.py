"""What a report says of students: attendance, the facts of one as tables, whom to look after; and one student's page.

Who took part, was there to help, or was away, and never why. The page for the parents is built field by field like the
students' sheets: no classmate's name, rating or request has a field, no rating of the student's own unless asked for.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from statistics import median_high

from grouper.faces.views.attendance_list import HELPER, shown_role
from grouper.faces.views.evidence import Evidence, taught_alone
from grouper.faces.views.names import display_names, full_name, given_name, name_order
from grouper.faces.wording.words import number_in_words, times_in_words
from grouper.games.days.season import duty_turns
from grouper.model.ledger import COACH, LEARNER, ledger_of
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Lesson
from grouper.planning.turns import Turns, trio_turns_of
from grouper.privacy.names import Others, others_of
from grouper.privacy.own_data import TABLES, Facts
from grouper.words import counted, listed


@dataclass(frozen=True)
class FactTable:
    """A title, the names of the columns, and the rows as text; both empty where nothing is held."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def fact_tables(facts: Facts) -> tuple[FactTable, ...]:
    """All tables, the empty ones too: that nothing is held is a fact as well."""
    person = tuple((_heading(key), _said(value)) for key, value in facts["student"].items())
    tables = [FactTable("The student", ("What", "Held"), person)]
    for table in TABLES:
        rows = facts[table.key]
        keys = tuple(dict.fromkeys(key for row in rows for key in row))
        said = tuple(tuple(_said(row.get(key)) for key in keys) for row in rows)
        tables.append(FactTable(table.title, tuple(map(_heading, keys)), said))
    return tuple(tables)


def _heading(key: str) -> str:
    words = key.replace("_", " ")
    return words[:1].upper() + words[1:]


def _said(value: object) -> str:
    if value is None or value == "":
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return number_in_words(value) if isinstance(value, float) else str(value)


_FEW_PEOPLE = {1: "alone", 2: "in a pair", 3: "in a three"}
MOST = 4
"""More names than these are no help: then nobody stands out."""


@dataclass(frozen=True)
class CareLine:
    """Who, and what was uneven for them."""

    who: str
    why: str


def care_lines(found: Evidence) -> Iterator[CareLine]:
    """Fewest partners, most turns in the trio and as coach, and the two who met most; where somebody stands out."""
    names = display_names(found.chosen.roster.students, found.chosen.roster.in_unit)
    here = {student.id for student in found.chosen.roster.active}
    yield from _fewest_partners(found, names, here)
    yield from _most_turns(found.actual.trio, names, here, "in the group of three")
    yield from _most_turns(found.actual.coach, names, here, "coach")
    meetings = ledger_of(found.chosen.plan.rounds).meetings
    among = {pair: times for pair, times in meetings.items() if here.issuperset(pair)}
    most = max(among.values(), default=0)
    pairs = sorted(_listed(list(pair), names) for pair, times in among.items() if times == most)
    if most > 1 and len(pairs) <= MOST:
        for pair in pairs:
            yield CareLine(pair, f"were in one group {times_in_words(most)}, and no two met more often")


def _fewest_partners(found: Evidence, names: dict[str, str], here: set[str]) -> Iterator[CareLine]:
    rounds = Counter(who for round_ in found.chosen.plan.rounds for who in round_.students if who in here)
    middle = median_high(rounds.values()) if rounds else 0
    there = {who for who, count in rounds.items() if 2 * count >= middle} & found.actual.had_the_chance
    partners = {who: count for who, count in found.actual.partners.items() if who in there}
    if not partners:
        return
    middle = median_high(partners.values())
    fewest = min(partners.values())
    few = [who for who, count in partners.items() if count == fewest]
    if fewest < middle and len(few) <= MOST:
        why = f"worked with {counted(fewest, 'different classmate')}, in the middle of the class it is {middle}"
        yield CareLine(_listed(few, names), why)


def _most_turns(turns: Turns | None, names: dict[str, str], here: set[str], what: str) -> Iterator[CareLine]:
    counts = {who: count for who, count in turns.by_student.items() if who in here} if turns else {}
    most, fewest = max(counts.values(), default=0), min(counts.values(), default=0)
    often = [who for who, count in counts.items() if count == most]
    if most > fewest and len(often) <= MOST:
        rest = max(count for count in counts.values() if count < most)
        were = "was" if len(often) == 1 else "were each"
        others = f"at most {times_in_words(rest)}" if rest else "never"
        yield CareLine(_listed(often, names), f"{were} {what} {times_in_words(most)}; others {others}")


def _listed(who: list[str], names: dict[str, str]) -> str:
    return listed(sorted((names[student] for student in who), key=name_order))


def attendance(record: ClassRecord, students: Iterable[Student], lessons: Iterable[Lesson]) -> Counter[str]:
    """Some students in some lessons, by the groups as they were: how often they took part ``full`` or in ``part``,
    ``helped`` without taking part, were ``away``, or in ``no_group`` and nobody noted why, as after a file was cleared.

    A lesson counts once for a student, under the first of the five that fits; not where they do not belong to it, or it
    has no groups.
    """
    counts: Counter[str] = Counter()
    for student, lesson in product(students, lessons):
        rounds = record.plan.of_lesson(lesson.number)
        if not rounds or not student.belongs_in(lesson.number):
            continue
        took_part = [round_.group_of(student.id) is not None for round_ in rounds]
        if any(took_part):
            counts["full" if all(took_part) else "part"] += 1
            continue
        states = {record.state(student, round_.key) for round_ in rounds}
        counts["helped" if "aside" in states else "away" if "away" in states else "no_group"] += 1
    return counts


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
    counts = attendance(record, [person], record.unit.lessons)
    took_part, of = counts["full"] + counts["part"], counts.total()
    share = f"{took_part} of {counted(of, 'lesson')}"
    every = {1: "the lesson", 2: "both lessons"}.get(of, f"all {of} lessons")
    yield f"{name} took part in {every if took_part == of else share}."
    yield from _turns(record, person, name)


def _turns(record: ClassRecord, person: Student, name: str) -> Iterator[str]:
    groups = [group for round_ in record.plan.rounds if (group := round_.group_of(person.id))]
    # Words that are not for everybody's eyes count as helping.
    roles = Counter(shown_role(role, HELPER) for group in groups if (role := group.role(person.id)))
    coach, learner = roles.pop(COACH, 0), roles.pop(LEARNER, 0)
    if coach or learner:
        yield f"In coaching pairs {name} began as coach {_often(coach)} and as learner {_often(learner)}; the two swap."
    for role, times in sorted(roles.items()):
        yield f"{name} was {role} {times_in_words(times)}."
    trio = trio_turns_of(problem_of(record), record.plan.rounds)
    if trio and trio.by_student.get(person.id):
        often = times_in_words(trio.by_student[person.id])
        yield f"As the number of students was odd, {name} worked in a group of three {often}."
    on_duty = duty_turns(record)
    duty = on_duty.by_student.get(person.id, 0) if on_duty else 0
    if duty:
        yield f"{name}'s team looked after {counted(duty, 'game')} of other teams."


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
    return "not there" if attendance(record, [person], [lesson])["away"] else "in no group"


def _lines(record: ClassRecord, lesson: Lesson, person: Student, others: Others) -> Iterator[ActivityLine]:
    for place, activity in enumerate(lesson.activities, start=1):
        groups = [
            group
            for round_ in record.plan.of_lesson(lesson.number)
            if round_.key.activity == place and (group := round_.group_of(person.id))
        ]
        if groups:
            people = dict.fromkeys(len(group.members) for group in groups)
            sizes = [_FEW_PEOPLE.get(number, f"in a group of {number}") for number in people]
            roles = dict.fromkeys(shown_role(group.role(person.id)) for group in groups)
            said = listed([role for role in roles if role])
            yield ActivityLine(others.masked(activity.name), len(groups), listed(sizes), said)
