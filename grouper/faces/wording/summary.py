"""How fair a plan is, in words that a colleague understands."""

from __future__ import annotations

from collections.abc import Iterator

from grouper.faces.wording.numbers import counted, from_to
from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, Spread

LABEL_WIDTH = 16


def summary_lines(record: ClassRecord, fairness: Fairness) -> Iterator[str]:
    """One line for each part of fairness, the label first."""
    yield _heading(record)
    for label, text in _parts(record, fairness):
        yield f"  {label:<{LABEL_WIDTH}}{text}"


def _heading(record: ClassRecord) -> str:
    students = counted(len(record.roster.active), "student")
    lessons = counted(len(record.unit.lessons), "lesson")
    return f"{students}, {lessons}, {counted(len(record.plan.rounds), 'round')}"


def _parts(record: ClassRecord, fairness: Fairness) -> Iterator[tuple[str, str]]:
    yield "New partners", _repeats(fairness)
    yield "Everybody", _partners(fairness)
    if fairness.worst_spread is not None:
        yield "Even teams", _even(fairness.worst_spread)
    if fairness.trio is not None:
        yield "Trio", f"{from_to(fairness.trio.fewest, fairness.trio.most)} turns each"
    if fairness.coach is not None:
        yield "Coach", f"{from_to(fairness.coach.fewest, fairness.coach.most)} turns each"
    yield "Requests", _requests(record, fairness)


def _repeats(fairness: Fairness) -> str:
    if fairness.repeats == 0:
        return "nobody meets the same person twice; no plan can do better"
    if fairness.repeats == fairness.bounds.repeats:
        return f"{counted(fairness.repeats, 'repeat')}; proven best, no plan for these rounds has fewer"
    proven = "; spread as evenly as any plan can" if fairness.proven_best else ""
    bound = f"no plan for these rounds can have fewer than {fairness.bounds.repeats}"
    return f"{counted(fairness.repeats, 'repeat')}; {bound}{proven}"


def _partners(fairness: Fairness) -> str:
    partners = from_to(fairness.fewest_partners, fairness.most_partners)
    most = counted(fairness.most_meetings, "time")
    return f"works with {partners} different others; two who meet most meet {most}"


def _even(worst: Spread) -> str:
    return (
        f"at most {worst.spread:.2g} between the averages of {worst.strand} "
        f"(lesson {worst.key.lesson}, {worst.activity}; wished for: {worst.tolerance:.2g})"
    )


def _requests(record: ClassRecord, fairness: Fairness) -> str:
    if not fairness.breaches:
        return f"all kept ({len(record.requests)})" if record.requests else "none were made"
    return "not kept: " + "; ".join(breach.sentence for breach in fairness.breaches)
