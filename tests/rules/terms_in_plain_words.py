"""What terms cost a plan, counted in plain Python straight from what each term says: no board, no engine."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import combinations
from math import ceil, comb

from grouper.model.plan import Plan, Round
from grouper.rules.terms import CannotLink, EvenAverages, EvenTotals, MeetingCost, MustLink, PairCost, Term, Turns


def met_in(round_: Round) -> set[tuple[str, str]]:
    """Each two who share a group, the smaller id first."""
    return {(a, b) for group in round_.groups for a in group.members for b in group.members if a < b}


def as_pairs(round_: Round) -> set[tuple[str, str]]:
    """Each two who are a group by themselves, the smaller id first."""
    return {(min(group.members), max(group.members)) for group in round_.groups if len(group.members) == 2}


def term_cost(term: Term, plan: Plan) -> int:
    """The cost of one term in its own unit."""
    rounds = [plan.by_key[key] for key in term.rounds]
    match term:
        case CannotLink():
            return sum(len(met_in(round_) & set(term.pairs)) for round_ in rounds)
        case MustLink():
            return sum(len(set(term.pairs) - met_in(round_)) for round_ in rounds)
        case PairCost():
            met = as_pairs if term.as_pair else met_in
            return sum(term.costs.get(pair, 0) for round_ in rounds for pair in met(round_))
        case MeetingCost():
            weighed = list(zip(rounds, term.weights, strict=True))
            return sum(
                v * w * len(met_in(one) & met_in(other)) for (one, v), (other, w) in combinations(weighed, 2)
            )
        case EvenTotals():
            windows = {window.size: window for window in term.windows}
            totals = [
                (windows[len(group.members)], sum(term.values[student] for student in group.members))
                for round_ in rounds
                for group in round_.groups
            ]
            return sum(w.step * (max(0, w.low - total) + max(0, total - w.high)) for w, total in totals)
        case EvenAverages():
            return sum(_uneven(term, round_) for round_ in rounds)
        case Turns():
            places = [g for r, own in zip(rounds, term.sizes, strict=True) for g in r.groups if len(g.members) in own]
            turns = Counter(student for group in places for student in group.members)
            return sum(comb(times, 2) + times * term.before.get(who, 0) for who, times in turns.items())


def _uneven(term: EvenAverages, round_: Round) -> int:
    totals = [(sum(term.values[s] for s in g.members), term.divisor(len(g.members))) for g in round_.groups]
    averages = [total / divisor for total, divisor in totals if divisor]
    beyond = max(averages, default=Fraction(0)) - min(averages, default=Fraction(0)) - term.tolerance
    return max(term.least, ceil(term.step * beyond)) if beyond > 0 else 0


def broken_pairs(term: Term, plan: Plan) -> set[tuple[object, tuple[str, str]]]:
    """Round and pair of each hard wish of a term that does not hold; empty for a term that is not hard."""
    match term:
        case CannotLink():
            return {(key, pair) for key in term.rounds for pair in met_in(plan.by_key[key]) & set(term.pairs)}
        case MustLink():
            return {(key, pair) for key in term.rounds for pair in set(term.pairs) - met_in(plan.by_key[key])}
        case _:
            return set()
