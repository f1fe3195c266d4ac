"""Whole terms as they happen, beside a plan that had known it all. ``python tests/bench/terms.py [--terms N]``.

A term has eight lessons of a class of 22 to 30. Each day 7 % are away (DfE England 2023/24), two join, one leaves, and
of one lesson the last activity is not held. Each term is lived through three times: mended with fewest moves and no
more; planned again after every lesson with what happened; and with the groups of the day made as good as can be as
well, whoever has to move. Beside them stands the plan as it was made at the
start, when nothing had happened yet, and one that was made with everything known. Writes into
``docs/quality/solver.md``.
"""

from __future__ import annotations

import argparse
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random
from statistics import fmean

import report
from measure import timed
from units import STRAND, drawn_apart, drawn_roster

from grouper.errors import GrouperError
from grouper.model.ledger import ledger_of
from grouper.model.noted import Absence
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.adjust import taught
from grouper.planning.attend import absent, join, leave
from grouper.planning.plan import improve_lesson, improve_rest, plan_unit

LESSONS, AWAY = 8, 0.07
GAME = Activity("game", "balanced", 4, strand=STRAND)
PAIRS = Activity("passing", "fresh", 2)
THREES = Activity("drill", "balanced", 3, strand=STRAND)
KINDS = {
    "pairs, then fours": (PAIRS, GAME),
    "threes, then fours": (THREES, GAME),
    "two rounds in pairs, then fives": (replace(PAIRS, rounds=2), replace(GAME, size=5)),
}


@dataclass(frozen=True)
class Term:
    """What happens: who is away from which lesson, who joins and leaves when, and which lesson is cut."""

    start: ClassRecord
    away: dict[int, tuple[str, ...]]
    joining: dict[int, Student]
    leaver: str
    leaving: int
    cut: int


def drawn(kind: str, number: int) -> Term:
    """The term of a number: the same in every run."""
    chance = Random(zlib.crc32(f"{kind} {number}".encode()))
    people = chance.randint(22, 30)
    everybody = drawn_roster(people + 2, "bell", chance)
    *staying, one, other = everybody.students
    roster = replace(everybody, students=tuple(staying))
    unit = Unit(tuple(Lesson(lesson, KINDS[kind]) for lesson in range(1, LESSONS + 1)))
    record = ClassRecord(roster, unit, drawn_apart(roster, 5, chance), seed=number)
    first, second = sorted(chance.sample(range(2, 7), 2))
    leaver, leaving = chance.choice(staying).id, chance.randint(3, 7)
    there = {lesson: [s.id for s in staying if s.id != leaver or lesson < leaving] for lesson in range(1, LESSONS + 1)}
    away = {lesson: tuple(s for s in ids if chance.random() < AWAY) for lesson, ids in there.items()}
    return Term(record, away, {first: one, second: other}, leaver, leaving, chance.randint(2, 7))


def lived(term: Term, planned: ClassRecord, again: bool, today: bool = False) -> ClassRecord:
    """The class at the end of a term, mended day by day.

    With ``again`` the rest is planned after every lesson; with ``today`` the lesson itself, too.
    """
    record = planned
    for lesson in range(1, LESSONS + 1):
        if lesson in term.joining:
            record = join(record, term.joining[lesson], lesson).record
        if lesson == term.leaving:
            record = leave(record, term.leaver, lesson).record
        if term.away[lesson]:
            record = absent(record, lesson, term.away[lesson]).record
        if today:
            record = improve_lesson(record, lesson, then_the_rest=True).record
        rounds = len(record.lesson(lesson).keys)
        record = taught(record, lesson, up_to=rounds - 1 if lesson == term.cut else None)
        if again and lesson < LESSONS:
            record = improve_rest(record, lesson).record
    return record


def known(term: Term) -> ClassRecord:
    """The class planned at once, by somebody who knows all that will happen."""
    joining = (replace(student, first_lesson=lesson) for lesson, student in term.joining.items())
    staying = (
        replace(student, last_lesson=term.leaving - 1) if student.id == term.leaver else student
        for student in term.start.roster.students
    )
    lessons = (
        Lesson(lesson.number, lesson.activities[:-1]) if lesson.number == term.cut else lesson
        for lesson in term.start.unit.lessons
    )
    absences = tuple(Absence(lesson, student) for lesson, away in term.away.items() for student in away)
    roster = replace(term.start.roster, students=(*staying, *joining))
    return plan_unit(replace(term.start, roster=roster, unit=Unit(tuple(lessons)), absences=absences)).record


def measure(record: ClassRecord) -> float:
    """Meeting cost, and four times what the averages of balanced rounds are apart beyond an eighth of the range."""
    ratings = {student.id: float(student.ratings[STRAND]) for student in record.roster.students}
    eighth, uneven = record.roster.span(STRAND) / 8, 0.0
    specs = problem_of(record).by_key
    for round_ in record.plan.rounds:
        if specs[round_.key].activity.aim == "balanced":
            averages = [fmean(ratings[student] for student in group.members) for group in round_.groups]
            uneven += max(0.0, max(averages) - min(averages) - eighth)
    return ledger_of(record.plan.rounds).meeting_cost + 4 * uneven


def rows(terms: int) -> Iterator[tuple[object, ...]]:
    """A row a kind of unit, and one of all terms."""
    everything: list[list[float]] = []
    all_left_out = 0
    for kind in KINDS:
        found, left_out = [], 0
        for number in range(terms):
            term = drawn(kind, number)
            try:
                planned, spent = timed(lambda: plan_unit(term.start).record)  # noqa: B023
                ends = [lived(term, planned, *way) for way in ((False, False), (True, False), (True, True))]
                found.append([measure(record) for record in (planned, *ends, known(term))])
            except GrouperError as error:
                left_out += 1
                print(kind, number, type(error).__name__, error, flush=True)
                continue
            print(kind, number, *(f"{item:.1f}" for item in found[-1]), f"{spent.cpu:.1f} s", flush=True)
        everything, all_left_out = everything + found, all_left_out + left_out
        yield row(kind, found, left_out)
    yield row("all", everything, all_left_out)


def row(kind: str, found: list[list[float]], left_out: int) -> tuple[object, ...]:
    """Means over terms, and how many of them end within a tenth of what was known before."""
    means = [fmean(column) for column in zip(*found, strict=True)]
    near = [sum(term[place] <= 1.1 * term[4] for term in found) for place in (1, 2, 3)]
    return (kind, len(found), *means, *near, left_out)


HEAD = (
    "unit", "terms", "planned", "mended", "planned again", "and the day too", "known before",
    "mended within 10 %", "again within 10 %", "the day too within 10 %", "left out",
)


def main() -> None:
    """Live through the terms, and write the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--terms", type=int, default=67, help="of each kind of unit")
    asked = parser.parse_args()
    text = report.table(HEAD, list(rows(asked.terms)))
    intro = (
        "## Terms as they happen\n\nMean M of whole terms, made by `tests/bench/terms.py`: eight lessons, 7 % away a "
        "day, two join, one leaves, one lesson is cut. *Planned* is the plan of the first day, with everybody there."
    )
    report.write("terms", f"{intro}\n\n{text}")


if __name__ == "__main__":
    main()
