"""How fair a plan is: in words that a colleague understands, and as data for other programs, students by id."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from grouper.games.days.season import duty_turns
from grouper.model.ledger import ledger_of
from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, Spread, Weighed, repeats_bound_with_even_teams
from grouper.planning.requests import breach_sentences
from grouper.planning.turns import Turns
from grouper.words import counted, from_to, short

LABEL_WIDTH = 16


@dataclass(frozen=True)
class Part:
    """A part of fairness: its label, what is said of it, and a line each for what does not hold."""

    label: str
    text: str
    broken: tuple[str, ...] = ()


def summary_lines(record: ClassRecord, fairness: Fairness, together: Weighed | None = None) -> Iterator[str]:
    """One line for each part of fairness, the label first; requests that do not hold below, a line each."""
    students = counted(len(record.roster.active), "student")
    lessons = counted(len(record.unit.lessons), "lesson")
    yield f"{students}, {lessons}, {counted(len(record.plan.rounds), 'round')}"
    for part in summary_parts(record, fairness, together):
        yield f"  {part.label:<{LABEL_WIDTH}}{part.text}"
        yield from (f"    - {sentence}" for sentence in part.broken)


def summary_parts(record: ClassRecord, fairness: Fairness, together: Weighed | None = None) -> Iterator[Part]:
    """Each part of fairness in words; what they weigh ``together`` where that was worked out."""
    yield Part("New partners", _repeats(record, fairness))
    yield Part("Everybody", _partners(record, fairness))
    if fairness.met_in_earlier_units is not None:
        yield Part("Earlier units", _earlier(fairness.met_in_earlier_units, fairness.fewest_met_in_earlier_units))
    if fairness.worst_spread is not None:
        yield Part("Even teams", _even(record, fairness.worst_spread))
    if fairness.trio is not None:
        yield Part("Trio", _turns_in_words(fairness.trio))
    if fairness.sides is not None:
        yield Part("Smaller side", _turns_in_words(fairness.sides))
    if fairness.coach is not None:
        yield Part("Coach", _turns_in_words(fairness.coach))
    on_duty = duty_turns(record, record.taught)
    if on_duty is not None:
        yield Part("On duty", _turns_in_words(on_duty))
    if together is not None and together.reached:
        yield Part("All together", weighed_in_words(together))
    yield Part("Requests", _requests(record, fairness), tuple(breach_sentences(record.roster, fairness.breaches)))


def _repeats(record: ClassRecord, fairness: Fairness) -> str:
    if fairness.repeats == 0:
        return "nobody meets the same person twice; no plan can do better"
    still_open = [r for r in record.plan.rounds if r.key.lesson not in record.taught and not r.pinned]
    repeats = f"{counted(fairness.repeats, 'repeat')} in {counted(fairness.meetings, 'meeting')}"
    if not still_open:
        return f"{repeats}; nothing is left to plan"
    which = "these rounds" if len(still_open) == len(record.plan.rounds) else "the rounds still open"
    if fairness.repeats == fairness.bounds.repeats:
        return f"{repeats}; proven best, no plan for {which} has fewer"
    # A bound of 0 says nothing; that the spread is proven best says more, and else it is not known.
    least = f"; no plan for {which} can have fewer than {fairness.bounds.repeats}" if fairness.bounds.repeats else ""
    spread = "; no plan spreads them more evenly" if fairness.proven_best else ""
    return repeats + least + spread if least or spread else f"{repeats}; whether any must be is not known"


def _partners(record: ClassRecord, fairness: Fairness) -> str:
    if fairness.most_meetings == 0:
        return "works alone"
    others = "other" if fairness.most_partners == 1 else "different others"
    # Those who are to be together meet in every round, which would hide how often the others do.
    asked = {tuple(sorted(request.pair)) for request in record.requests if request.kind == "together"}
    meetings = ledger_of(record.plan.rounds).meetings
    times = max((times for pair, times in meetings.items() if pair not in asked), default=fairness.most_meetings)
    most = "once" if times == 1 else f"{times} times"
    but = "" if times == fairness.most_meetings else ", but for those who are to be together"
    partners = from_to(fairness.fewest_partners, fairness.most_partners)
    return f"works with {partners} {others}; no two meet more than {most}{but}"


def _earlier(again: int, least: int | None) -> str:
    if again == 0:
        return "nobody meets a partner of an earlier unit"
    meetings = f"{counted(again, 'meeting')} with a partner of an earlier unit"
    if again == least:
        return f"{meetings}; proven best, no plan with as few repeats has fewer"
    return f"{meetings}; no plan with as few repeats can have fewer than {least}" if least else meetings


def _even(record: ClassRecord, worst: Spread) -> str:
    place = f"lesson {worst.key.lesson}, {worst.activity}"
    # Of sides that differ on purpose totals are compared, in the same steps as averages.
    what = "totals, a player," if record.unit.activity(worst.key).sides else "averages"
    if worst.spread == 0:
        return f"all {what.split(',')[0]} of {worst.strand} are the same"
    return (
        f"{what} of {worst.strand} are at most {short(worst.spread)} apart "
        f"({place}; wished for: {short(worst.tolerance)})"
    )


def weighed_in_words(together: Weighed) -> str:
    """What new partners, even teams and groups alike weigh together, beside what no plan goes below."""
    told = f"repeats, uneven teams and groups not alike weigh as much as {short(round(together.reached, 1))} repeats"
    if together.proven_best:
        return f"{told}; proven best, no plan weighs less"
    return f"{told}; no plan can weigh less than {short(round(together.bound, 1))}" if together.bound else told


def _turns_in_words(turns: Turns) -> str:
    each = f"{from_to(turns.fewest, turns.most)} {'turn' if turns.most == 1 else 'turns'} each"
    if turns.least_range is None or turns.range == 0:
        return each
    if turns.range <= turns.least_range:
        return f"{each}; no plan can share them out more evenly"
    least = "be the same for all" if turns.least_range == 0 else f"differ by {turns.least_range}"
    return f"{each}; at best they could {least}"


def _requests(record: ClassRecord, fairness: Fairness) -> str:
    if fairness.breaches:
        return "not kept:"
    return f"all kept ({len(record.requests)})" if record.requests else "none were made"


def fairness_data(record: ClassRecord, fairness: Fairness, together: Weighed | None = None) -> dict[str, Any]:
    """Plain data of all parts of fairness, ready for JSON; ``worst_spread`` is the largest number among ``spreads``."""
    spreads, on_duty = _spreads(fairness), duty_turns(record, record.taught)
    return {
        "repeats": fairness.repeats,
        "repeats_bound": fairness.bounds.repeats,
        "repeats_bound_with_even_teams": repeats_bound_with_even_teams(record),
        "meeting_cost": fairness.meeting_cost,
        "meeting_cost_bound": fairness.bounds.meeting_cost,
        "proven_best": fairness.proven_best,
        "weighed": together and round(together.reached, 6),
        "weighed_bound": together and round(together.bound, 6),
        "breaches": len(fairness.breaches),
        "breach_list": [
            {"rule": b.rule, "lesson": b.key.lesson, "round": b.key.round, "students": list(b.students)}
            for b in fairness.breaches
        ],
        "fewest_partners": fairness.fewest_partners,
        "most_partners": fairness.most_partners,
        "most_meetings": fairness.most_meetings,
        "partners": fairness.partners,
        "worst_spread": max((spread["spread"] for spread in spreads), default=None),
        "spreads": spreads,
        "twice_in_a_lesson": fairness.twice_in_a_lesson,
        "twice_in_a_lesson_bound": fairness.fewest_twice_in_a_lesson,
        "met_in_earlier_units": fairness.met_in_earlier_units,
        "met_in_earlier_units_bound": fairness.fewest_met_in_earlier_units,
        "trio_turns": fairness.trio.by_student if fairness.trio else {},
        "side_turns": fairness.sides.by_student if fairness.sides else {},
        "coach_turns": fairness.coach.by_student if fairness.coach else {},
        "trio_range": _range(fairness.trio),
        "coach_range": _range(fairness.coach),
        "duty_turns": on_duty.by_student if on_duty else {},
        "duty_range": _range(on_duty),
        "students": len(record.roster.active),
        "rounds": len(record.plan.rounds),
        "lessons_taught": sorted(record.taught),
    }


def _spreads(fairness: Fairness) -> list[dict[str, Any]]:
    return [
        {
            "lesson": spread.key.lesson,
            "activity": spread.activity,
            "round": spread.key.round,
            "strand": spread.strand,
            "spread": round(spread.spread, 6),
            "tolerance": round(spread.tolerance, 6),
        }
        for spread in fairness.spreads
    ]


def _range(turns: Turns | None) -> dict[str, int | None] | None:
    """Fewest and most of those there each time, by how much they differ, and what no plan can go below."""
    if turns is None:
        return None
    return {"fewest": turns.fewest, "most": turns.most, "range": turns.range, "range_bound": turns.least_range}
