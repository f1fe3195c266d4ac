"""Even teams beside a plain annealer in C++: ``python tests/bench/beside_annealer.py ANNEALER.cpp``.

The annealer is a program of its own, built here with ``g++`` where there is one; its head says what it reads and what
it measures: M = sum over pairs of C(m, 2) + 4 x sum over rounds of max(0, spread - an eighth of the range). Classes
are drawn from the name of the series: 18 to 34 people in twos to sevens, teams of two sizes where the class does not
divide, 0 to 15 pairs apart, skills uniform or in a bell. Each is planned at usual effort, and annealed for the same CPU
time and for a minute. The table goes into ``docs/quality/solver.md``, classes in which the annealer's minute was better
first.

The annealer reads one line of ratings, one number of groups, and nobody who is away, so that units with two strands,
absences or several activities are beyond it. A second table has such units, with thorough effort (4.4 times as many
steps) in its place.
"""

from __future__ import annotations

import argparse
import json
import platform
import subprocess
import tempfile
import time
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

import report
from measure import calibration, timed
from units import STRAND, drawn_apart, drawn_roster

from grouper.model.ledger import ledger_of
from grouper.model.noted import Absence
from grouper.model.plan import Plan
from grouper.model.record import ClassRecord
from grouper.model.roster import Roster
from grouper.model.unit import Activity, Lesson, Unit, sizes_for
from grouper.planning.fairness import Fairness, fairness_of
from grouper.planning.plan import plan_unit

MINUTE = 60.0
CPU_CLOCK = """
#include <bits/stdc++.h>
namespace std::chrono {
struct cpu_clock {
  using duration = nanoseconds; using rep = duration::rep; using period = duration::period;
  using time_point = chrono::time_point<cpu_clock>;
  static time_point now() {
    timespec t; clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return time_point(seconds(t.tv_sec) + nanoseconds(t.tv_nsec));
  }
};
}
#define steady_clock cpu_clock
"""
"""Read before the annealer's source: its seconds are those of the processor, so that a busy machine takes none."""
SEED = 1
EQUAL = 0.005
"""The annealer prints two digits."""


@dataclass(frozen=True)
class Drawn:
    """A class with its unit of one balanced activity: what both are given."""

    name: str
    record: ClassRecord
    groups: int


def drawn(series: str, number: int) -> Drawn:
    """The class of a number: the same in every run."""
    chance = Random(zlib.crc32(f"{series} {number}".encode()))
    size, people = chance.choice((2, 3, 3, 4, 4, 4, 5, 5, 6, 7)), chance.randint(18, 34)
    most = (people - 1) // (size - 1)
    rounds = chance.randint(max(3, min(most, 10) - 3), min(most + 2, 12))
    shape, apart = chance.choice(("uniform", "bell")), chance.randint(0, 15)
    roster = drawn_roster(people, shape, chance)
    game = Activity("game", "balanced", groups=-(-people // size), strand=STRAND)
    unit = Unit(tuple(Lesson(lesson, (game,)) for lesson in range(1, rounds + 1)))
    sizes = sizes_for(game, people)
    words = f"{sizes[0]}s" if len(set(sizes)) == 1 else f"{sizes[0]}s and {sizes[-1]}s"
    name = f"{number}: {people} in {words}, {rounds} rounds, {apart} apart, {shape}"
    return Drawn(name, ClassRecord(roster, unit, drawn_apart(roster, apart, chance)), len(sizes))


def measure(record: ClassRecord, plan: Plan) -> float:
    """M of a plan, counted from its groups."""
    ratings = {student.id: float(student.ratings[STRAND]) for student in record.roster.students}
    eighth = (max(ratings.values()) - min(ratings.values())) / 8
    uneven = 0.0
    for round_ in plan.rounds:
        averages = [sum(ratings[s] for s in group.members) / len(group.members) for group in round_.groups]
        uneven += max(0.0, max(averages) - min(averages) - eighth)
    return ledger_of(plan.rounds).meeting_cost + 4 * uneven


class Annealer:
    """The program, and what it found before, by class and seconds."""

    def __init__(self, source: Path, kept: Path | None) -> None:
        folder = Path(tempfile.mkdtemp())
        self.program, clock = folder / "annealer", folder / "clock.h"
        clock.write_text(CPU_CLOCK)
        built = ["g++", "-O3", "-march=native", "-include", str(clock), "-o", str(self.program), str(source)]
        subprocess.run(built, check=True)
        self.kept = kept
        self.found: dict[str, float] = json.loads(kept.read_text()) if kept and kept.exists() else {}

    def best(self, series: str, case: Drawn, seconds: float) -> float:
        """The least M that it finds in so many seconds."""
        key = f"{series} {case.name}, {seconds:g} s"
        if key not in self.found:
            asked = _asked_of_annealer(case, seconds)
            printed = subprocess.run([str(self.program)], input=asked, capture_output=True, text=True, check=True)
            self.found[key] = float(printed.stdout.split()[1])
            if self.kept:
                self.kept.write_text(json.dumps(self.found))
        return self.found[key]


def _asked_of_annealer(case: Drawn, seconds: float) -> str:
    students = case.record.roster.students
    place = {student.id: number for number, student in enumerate(students)}
    pairs = [f"{place[r.student]} {place[r.other]}" for r in case.record.requests]
    head = f"{len(students)} {case.groups} {len(case.record.unit.lessons)} {seconds:g} {SEED} {len(pairs)}"
    return "\n".join([head, " ".join(str(student.ratings[STRAND]) for student in students), *pairs, ""])


def rows(series: str, numbers: range, annealer: Annealer) -> Iterator[tuple[object, ...]]:
    """A row a class."""
    for number in numbers:
        case = drawn(series, number)
        outcome, spent = timed(lambda: plan_unit(case.record, seed=SEED))  # noqa: B023
        ours, fair = measure(case.record, outcome.plan), fairness_of(outcome.record)
        if fair.breaches:
            raise ValueError(f"{case.name}: a request is broken")
        minute = annealer.best(series, case, MINUTE)
        same = annealer.best(series, case, max(0.1, round(spent.cpu, 1)))
        worst = max((item.spread for item in fair.spreads), default=None)
        row = (case.name, ours, same, minute, fair.bounds.meeting_cost, fair.meeting_cost, worst, spent.cpu)
        print(" · ".join(f"{item:.2f}" if isinstance(item, float) else str(item) for item in row), flush=True)
        yield row


def beyond_annealer(series: str, number: int) -> tuple[str, ClassRecord]:
    """A unit that the annealer cannot read: two strands in turn, people away, or warm-up, coaching and game."""
    chance = Random(zlib.crc32(f"{series} beyond {number}".encode()))
    people, size = chance.randint(20, 32), chance.choice((2, 3, 4, 5))
    shape, lessons = chance.choice(("uniform", "bell")), chance.randint(5, 8)
    roster, second = drawn_roster(people, shape, chance), drawn_roster(people, shape, chance)
    game = Activity("game", "balanced", size, strand=STRAND)
    parts: list[tuple[Activity, ...]] = [(game,)] * lessons
    away: tuple[Absence, ...] = ()
    match number % 3:
        case 0:
            kind, other = "two strands in turn", "other"
            both = [replace(one, ratings={**one.ratings, other: two.ratings[STRAND]})
                    for one, two in zip(roster.students, second.students, strict=True)]
            roster = Roster(tuple(both), (STRAND, other))
            parts = [(replace(game, strand=(STRAND, other)[lesson % 2]),) for lesson in range(lessons)]
        case 1:
            kind = "7 % away"
            away = tuple(Absence(lesson, one.id) for lesson in range(1, lessons + 1)
                         for one in roster.students if chance.random() < 0.07)
        case _:
            kind = "warm-up pairs, coaching, game"
            coaching = Activity("coaching", "coaching", 2, strand=STRAND, min_gap=0, max_gap=3)
            parts = [(Activity("warm-up", size=2), coaching, game)] * lessons
    unit = Unit(tuple(Lesson(lesson, each) for lesson, each in enumerate(parts, start=1)))
    record = ClassRecord(roster, unit, drawn_apart(roster, chance.randint(0, 8), chance), away)
    return f"{number}: {people}, {kind}, in {size}s, {lessons} lessons, {shape}", record


def by_effort(series: str, numbers: range) -> Iterator[tuple[object, ...]]:
    """A row a unit that the annealer cannot read."""
    for number in numbers:
        name, record = beyond_annealer(series, number)
        (planned, spent), (better, more) = (timed(lambda: plan_unit(record, SEED, effort).record)  # noqa: B023
                                            for effort in ("usual", "thorough"))
        usual, longer = fairness_of(planned), fairness_of(better)
        if usual.breaches or longer.breaches:
            raise ValueError(f"{name}: a request is broken")
        worst = max((item.spread for item in usual.spreads), default=None)
        row = (name, _m_of(usual), _m_of(longer), usual.bounds.meeting_cost, usual.meeting_cost, worst,
               spent.cpu, more.cpu)
        print(" · ".join(f"{item:.2f}" if isinstance(item, float) else str(item) for item in row), flush=True)
        yield row


def _m_of(fair: Fairness) -> float:
    """M from what is told of a plan: strands and tolerances are each round's own."""
    return fair.meeting_cost + 4 * sum(max(0.0, item.spread - item.tolerance) for item in fair.spreads)


def beyond_page(found: list[tuple[object, ...]]) -> str:
    """The second table, what thorough effort gains most in first."""
    ordered = sorted(found, key=lambda row: row[2] - row[1])  # type: ignore[operator]
    columns = ("unit", "M, usual effort", "M, thorough", "bound on meeting cost", "meeting cost", "spread",
               "CPU s", "CPU s, thorough")
    return report.table(columns, ordered)


def page(found: list[tuple[object, ...]], series: str, loop: float) -> str:
    """The table, losses first, the largest one at the top, and what it comes to."""
    lost = [row for row in found if row[1] > row[3] + EQUAL]  # type: ignore[operator]
    won = [row for row in found if row[1] < row[3] - EQUAL]  # type: ignore[operator]
    ordered = sorted(found, key=lambda row: row[3] - row[1])  # type: ignore[operator]
    totals = [sum(float(row[place]) for row in found) for place in (1, 2, 3, 7)]  # type: ignore[arg-type]
    head = (
        f"*{time.strftime('%Y-%m-%d')}, Python {platform.python_version()}, one core; small loop {1000 * loop:.0f} ms "
        f"of CPU time. Series '{series}', {len(found)} classes.*\n\n"
        f"M in all: ours {totals[0]:.1f}, the annealer in the same CPU time {totals[1]:.1f}, in a minute "
        f"{totals[2]:.1f}; ours took {totals[3]:.0f} s for all classes. Beside the minute ours is worse in {len(lost)} "
        f"classes, better in {len(won)}, and the same in {len(found) - len(lost) - len(won)}.\n\n"
    )
    columns = ("class", "M ours", "M annealer, same CPU", "M annealer, a minute", "bound on meeting cost",
               "meeting cost", "spread", "CPU s")
    return head + report.table(columns, ordered)


def main() -> None:
    """Plan, anneal, and write the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("annealer", type=Path, help="the source of the annealer")
    parser.add_argument("--series", default="classes", help="the name that classes are drawn from")
    parser.add_argument("--first", type=int, default=1)
    parser.add_argument("--last", type=int, default=20)
    parser.add_argument("--keep", type=Path, help="a file for what the annealer found, so that ours can be run again")
    parser.add_argument("--beyond", type=int, default=9, help="how many units that the annealer cannot read")
    parser.add_argument("--only-anneal", action="store_true", help="a minute for each class, and nothing else")
    asked = parser.parse_args()
    annealer, numbers = Annealer(asked.annealer, asked.keep), range(asked.first, asked.last + 1)
    if asked.only_anneal:
        for number in numbers:
            annealer.best(asked.series, drawn(asked.series, number), MINUTE)
        return
    found = list(rows(asked.series, numbers, annealer))
    text = f"## Even teams beside a plain annealer\n\n{page(found, asked.series, calibration())}"
    if asked.beyond:
        others = beyond_page(list(by_effort(asked.series, range(1, asked.beyond + 1))))
        text += f"\n\nUnits that the annealer cannot read, at usual and at thorough effort.\n\n{others}"
    report.write("annealer", text)


if __name__ == "__main__":
    main()
