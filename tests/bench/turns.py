"""Turns, and nobody twice in a lesson, in mixed units of odd classes: ``python tests/bench/turns.py`` (some minutes).

Six lessons of three rounds in pairs, two in threes and two of coaching, for drawn classes of 25, 27 and 29: the unit in
which turns in the trio, repeats and gap windows pull apart most. Writes ``docs/quality/turns.md``; what the figures
were before the weights of preference were set anew stands in there as text.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

from measure import timed
from report import table
from units import STRAND, drawn_roster

from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.turns import Turns

PATH = Path(__file__).resolve().parents[2] / "docs" / "quality" / "turns.md"
BEGINS = "<!-- turns begins -->"
PEOPLE = (25, 27, 29)
WINDOWS = ((None, None), (1.0, 2.0), (1.0, 3.0))
CLASSES = 2
HEAD = ("class", "gap", "trio", "least apart", "coach", "least apart", "twice in a lesson", "repeats", "meeting cost",
        "at least", "CPU s")


def main() -> None:
    """Measure and write."""
    rows = [_row(*case) for case in _cases()]
    text = PATH.read_text(encoding="utf-8")
    PATH.write_text(f"{text[: text.index(BEGINS)]}{BEGINS}\n{table(HEAD, rows)}\n", encoding="utf-8")


def _cases() -> Iterator[tuple[int, int, float | None, float | None]]:
    for people in PEOPLE:
        for number in range(CLASSES):
            for low, high in WINDOWS:
                yield people, number, low, high


def _row(people: int, number: int, low: float | None, high: float | None) -> tuple[object, ...]:
    roster = drawn_roster(people, "bell", Random(f"{people} {number}"))
    help_ = Activity("help", "coaching", 2, rounds=2, strand=STRAND, min_gap=low, max_gap=high)
    parts = (Activity("passing", size=2, rounds=3), Activity("drill", size=3, rounds=2), help_)
    unit = Unit(tuple(Lesson(lesson, parts) for lesson in range(1, 7)))
    outcome, spent = timed(lambda: plan_unit(ClassRecord(roster, unit), seed=1))
    fair = fairness_of(outcome.record)
    gap = "any" if low is None else f"{low:g} to {high:g}"
    cost = (fair.meeting_cost, fair.bounds.meeting_cost)
    turns = (*_told(fair.trio), *_told(fair.coach))
    row = (f"{people}, {number}", gap, *turns, fair.twice_in_a_lesson, fair.repeats, *cost)
    print(*row, round(spent.cpu, 2), flush=True)
    return (*row, spent.cpu)


def _told(turns: Turns | None) -> tuple[object, object]:
    return ("-", "-") if turns is None else (f"{turns.fewest} to {turns.most}", turns.least_range)


if __name__ == "__main__":
    main()
