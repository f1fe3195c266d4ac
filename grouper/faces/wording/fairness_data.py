"""Fairness for other programs: names and units as in the words of the trade, students by id."""

from __future__ import annotations

from typing import Any

from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, repeats_bound_with_even_teams
from grouper.planning.turns import Turns


def fairness_data(record: ClassRecord, fairness: Fairness) -> dict[str, Any]:
    """Plain data of all parts of fairness, ready for JSON; ``worst_spread`` is the largest number among ``spreads``."""
    spreads = _spreads(fairness)
    return {
        "repeats": fairness.repeats,
        "repeats_bound": fairness.bounds.repeats,
        "repeats_bound_with_even_teams": repeats_bound_with_even_teams(record),
        "meeting_cost": fairness.meeting_cost,
        "meeting_cost_bound": fairness.bounds.meeting_cost,
        "proven_best": fairness.proven_best,
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
        "met_in_earlier_units": fairness.met_in_earlier_units,
        "met_in_earlier_units_bound": fairness.fewest_met_in_earlier_units,
        "trio_turns": _turns(fairness.trio),
        "coach_turns": _turns(fairness.coach),
        "trio_range": _range(fairness.trio),
        "coach_range": _range(fairness.coach),
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


def _turns(turns: Turns | None) -> dict[str, int]:
    return {} if turns is None else turns.by_student
