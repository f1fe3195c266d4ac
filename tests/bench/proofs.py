"""How many plans of realistic units are proven best: ``python tests/bench/proofs.py [--units N]`` (some minutes).

Units are drawn from the name of the series: 20 to 34 people, four to ten lessons, four to eight pairs apart, skills in
a bell or uniform, and lessons as they are taught: something in pairs or threes, coaching, groups alike, a game with
even teams, a final in the same teams. Each is planned by usual effort. Beside it stands what no plan can weigh less
than on the levels of alike groups, even teams and new partners (``engines/kinds.py``), and the bound on the meeting
cost alone. Writes into ``docs/quality/proofs.md``; another ``--effort`` is printed only.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import count
from pathlib import Path
from random import Random

from measure import calibration, timed
from report import table
from units import STRAND, drawn_apart, drawn_roster

from grouper.errors import ImpossibleError
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.fairness import Fairness, Weighed, fairness_of, weighed_of
from grouper.planning.plan import plan_unit, refuse_impossible

PATH = Path(__file__).resolve().parents[2] / "docs" / "quality" / "proofs.md"
BEGINS, ENDS = "<!-- census begins -->", "<!-- census ends -->"
HEAD = ("unit", "proven best", "weighed", "no plan less than", "meeting cost", "no plan less than", "gap %",
        "widest spread", "CPU s", "of them for bounds")


def drawn(series: str, number: int) -> tuple[str, ClassRecord]:
    """A unit with its name, the same in every run; one whose requests and gaps cannot be met is drawn again."""
    for attempt in count():
        name, record = _drawn(Random(f"{series} {number} {attempt}"))
        with suppress(ImpossibleError):
            refuse_impossible(record)
            return f"{number}: {name}", replace(record, seed=number)
    raise AssertionError


def _drawn(chance: Random) -> tuple[str, ClassRecord]:
    people, lessons, shape = chance.randint(20, 34), chance.randint(4, 10), chance.choice(("bell", "uniform"))
    parts = _parts(chance)
    roster = drawn_roster(people, shape, chance)
    requests = drawn_apart(roster, chance.randint(4, 8), chance)
    unit = Unit(tuple(Lesson(lesson, parts) for lesson in range(1, lessons + 1)))
    told = ", ".join(f"{part.rounds} x {part.name}" if part.rounds > 1 else part.name for part in parts)
    return f"{people}, {lessons} lessons: {told}", ClassRecord(roster, unit, requests)


def _parts(chance: Random) -> tuple[Activity, ...]:
    """What a lesson is made of: one to three parts."""
    small = (
        Activity("pairs", "fresh", 2, rounds=chance.randint(1, 3)),
        Activity("coaching", "coaching", 2, rounds=chance.randint(1, 2), strand=STRAND, min_gap=1, max_gap=3),
        Activity("threes", "fresh", 3),
        Activity("even threes", "balanced", 3, strand=STRAND),
    )
    size = chance.randint(4, 6)
    games = (
        (Activity(f"even {size}s", "balanced", size, strand=STRAND),),
        (Activity(f"even {size}s", "balanced", size, strand=STRAND), Activity("final", "stay")),
        (Activity("alike 4s", "similar", 4, strand=STRAND),),
        (Activity(f"{size}s", "fresh", size),),
    )
    first = chance.sample(small, chance.choice((0, 1, 1, 1, 2)))
    last = chance.choices(games, (5, 2, 1, 1))[0] if len(first) < 2 or chance.random() < 0.7 else ()
    return (*first, *last)


def rows(series: str, numbers: range, effort: str) -> Iterator[tuple[object, ...]]:
    """A line a unit."""
    for number in numbers:
        name, record = drawn(series, number)
        outcome, planning = timed(lambda: plan_unit(record, effort=effort))  # noqa: B023
        (fair, together), proving = timed(lambda: _bounds(outcome.record))  # noqa: B023
        proven = not fair.breaches and together.proven_best
        gap = 100 * (fair.meeting_cost - fair.bounds.meeting_cost) / max(1, fair.meeting_cost)
        spread = None if fair.worst_spread is None else fair.worst_spread.spread
        row = (name, "yes" if proven else "no", together.reached, together.bound, fair.meeting_cost,
               fair.bounds.meeting_cost, gap, spread, planning.cpu, proving.cpu)
        print(*row, sep=" · ", flush=True)
        yield row


def _bounds(record: ClassRecord) -> tuple[Fairness, Weighed]:
    together = weighed_of(record)
    assert together is not None
    return fairness_of(record), together


def page(found: list[tuple[object, ...]], series: str) -> str:
    """The table, those not proven first, and what it comes to."""
    proven = [row for row in found if row[1] == "yes"]
    near = [row for row in found if row[1] == "no" and float(str(row[6])) <= 3]
    ordered = sorted(found, key=lambda row: (row[1] == "yes", -float(str(row[6]))))
    return (
        f"*{time.strftime('%Y-%m-%d')}, one core; small loop {1000 * calibration():.0f} ms of CPU time. Series "
        f"'{series}', {len(found)} units.*\n\n{len(proven)} are proven best on the levels of requests, groups alike, "
        f"and of even teams and new partners as they are weighed. Of the others {len(near)} are within 3 % in meeting "
        f"cost.\n\n{table(HEAD, ordered)}"
    )


def main() -> None:
    """Plan, bound, and write the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--series", default="census")
    parser.add_argument("--units", type=int, default=40)
    parser.add_argument("--effort", default="usual", help="how long is searched")
    asked = parser.parse_args()
    text = page(list(rows(asked.series, range(1, asked.units + 1), asked.effort)), asked.series)
    if asked.effort != "usual":
        print(text)
        return
    head, rest = PATH.read_text(encoding="utf-8").split(BEGINS)
    PATH.write_text(f"{head}{BEGINS}\n{text}\n{ENDS}{rest.split(ENDS)[1]}", encoding="utf-8")


if __name__ == "__main__":
    main()
