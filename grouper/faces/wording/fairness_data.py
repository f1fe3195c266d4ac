"""Fairness for other programs: names and units as in the words of the trade, students by id."""

from __future__ import annotations

from typing import Any

from grouper.model.record import ClassRecord
from grouper.planning.fairness import Fairness, Turns, repeats_bound_with_even_teams


def fairness_data(record: ClassRecord, fairness: Fairness) -> dict[str, Any]:
    """Plain data of all parts of fairness, ready for JSON."""
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
        "worst_spread": None if fairness.worst_spread is None else round(fairness.worst_spread.spread, 6),
        "spreads": _spreads(fairness),
        "twice_in_a_lesson": fairness.twice_in_a_lesson,
        "met_in_earlier_units": fairness.met_in_earlier_units,
        "trio_turns": _turns(fairness.trio),
        "coach_turns": _turns(fairness.coach),
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


def _turns(turns: Turns | None) -> dict[str, int]:
    return {} if turns is None else turns.by_student
