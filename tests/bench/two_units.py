"""A second unit with and without the memory of the first. ``python tests/bench/two_units.py`` (some minutes).

Two units of the same lessons are planned one after the other for drawn classes, the first taught as planned. Counted
are the meetings of the second unit with somebody of the first, beside the fewest that any plan could have: each
student has met so many of the class and works with so many more, so that more than all the others must be met again.
Writes ``docs/quality/two_units.md``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

from report import table
from units import STRAND, drawn_roster

from grouper.model.ledger import ledger_of
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity, Lesson, Unit
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit
from grouper.planning.ran import next_unit

PATH = Path(__file__).resolve().parents[2] / "docs" / "quality" / "two_units.md"
DRAWN = 5
HEAD = (
    "class", "rounds a unit", "half-life, weeks", "met again, memory off", "met again", "at least",
    "repeats, memory off", "repeats", "worst spread, memory off", "worst spread",
)
NOTES = """# Two units: what remembering the first is worth

Made by `tests/bench/two_units.py`. The mean of five drawn classes; the units have no dates, so that the first is a
term of twelve weeks old when the second begins. "Met again" are meetings of the second unit with somebody of the first,
"at least" what no plan without repeats can go below, "repeats" those within the second unit. The second unit has a seed
of its own, as the same seed without memory would give the same groups again.
"""


@dataclass(frozen=True)
class Kind:
    """A class of so many in groups of a size, with so many rounds in each unit."""

    people: int
    size: int
    rounds: int
    aim: str = "fresh"

    @property
    def unit(self) -> Unit:
        """Lessons of one round."""
        activity = Activity("game", self.aim, self.size, strand="" if self.aim == "fresh" else STRAND)
        return Unit(tuple(Lesson(number, (activity,)) for number in range(1, self.rounds + 1)))


KINDS = (
    Kind(24, 2, 8),
    Kind(27, 3, 6),
    Kind(29, 2, 8),
    Kind(30, 3, 6, "balanced"),
    Kind(28, 4, 4, "balanced"),
    Kind(30, 5, 4),
)


def main() -> None:
    """Measure and write."""
    rows = [row for kind in KINDS for row in measured(kind)]
    PATH.write_text(f"{NOTES}\n{table(HEAD, rows)}\n", encoding="utf-8")


def measured(kind: Kind) -> Iterator[tuple[object, ...]]:
    """A row for each half-life."""
    begun = [taught(kind, number) for number in range(DRAWN)]
    blind = [second_unit(record, 0.0) for record in begun]
    for half_life in (12.0, 52.0):
        known = [second_unit(record, half_life) for record in begun]
        off, on = (_mean(counts) for counts in (blind, known))
        name = f"{kind.people} in groups of {kind.size}, {kind.aim}"
        figures = (off["again"], on["again"], on["least"], off["repeats"], on["repeats"], off["spread"], on["spread"])
        yield name, kind.rounds, int(half_life), *figures


def taught(kind: Kind, number: int) -> ClassRecord:
    """A drawn class with its first unit planned and taught."""
    roster = drawn_roster(kind.people, "bell", Random(f"{kind.people} {number}"))
    planned = plan_unit(ClassRecord(roster, kind.unit)).record
    return replace(planned, taught=frozenset(lesson.number for lesson in kind.unit.lessons))


def second_unit(record: ClassRecord, half_life: float) -> Counter[str]:
    """The second unit: meetings with somebody of the first, the fewest possible, repeats, and the worst spread."""
    before = ledger_of(record.plan.rounds)
    begun = next_unit(record, record.unit).record
    plan = plan_unit(replace(begun, settings=replace(begun.settings, half_life=half_life)), seed=1).record
    now = ledger_of(plan.plan.rounds)
    fairness = fairness_of(plan)
    worst = fairness.worst_spread
    counts: Counter[str] = Counter()
    counts["again"] = sum(times for pair, times in now.meetings.items() if pair in before.meetings)
    counts["least"] = fewest_again(record)
    counts["repeats"] = fairness.repeats
    counts["spread"] = worst.spread if worst else 0  # type: ignore[assignment]
    return counts


def fewest_again(record: ClassRecord) -> int:
    """Each student meets d others in a unit and has p classmates not met yet: more than p must be met again."""
    students = [student.id for student in record.roster.students]
    met = ledger_of(record.plan.rounds).partners(students)
    meetings = Counter(student for round_ in record.plan.rounds for pair in round_.pairs for student in pair)
    beyond = (max(0, meetings[student] - (len(students) - 1 - met[student])) for student in students)
    return -(-sum(beyond) // 2)


def _mean(counts: list[Counter[str]]) -> dict[str, float]:
    return {key: sum(count[key] for count in counts) / len(counts) for key in ("again", "least", "repeats", "spread")}


if __name__ == "__main__":
    main()
