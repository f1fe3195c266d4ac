"""Even teams weighed against new partners: what is left uneven would cost more than a repeat to even."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from random import Random

import pytest
from builders import STRAND, apart, count_pairs, record_of, roster_of

from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity
from grouper.planning.fairness import fairness_of
from grouper.planning.plan import plan_unit

pytestmark = pytest.mark.whole_search

Groups = list[list[str]]


def planned(people: int, teams: int, lessons: int, seed: int) -> ClassRecord:
    """A class with drawn ratings from 1 to 5 and three pairs apart, one round a lesson, planned quickly."""
    chance = Random(seed)
    roster = roster_of(people, [chance.randint(1, 5) for _ in range(people)])
    requests = [apart(f"s{one:02}", f"s{one + 9:02}") for one in (1, 2, 3)]
    game = Activity("Game", "balanced", groups=teams, strand=STRAND)
    return plan_unit(record_of(roster, game, requests=requests, lessons=lessons), effort="quick").record


def spread(record: ClassRecord, groups: Groups) -> Fraction:
    """How far the averages of these teams are apart."""
    rating = {student.id: Fraction(student.ratings[STRAND]) for student in record.roster.students}
    averages = [sum((rating[member] for member in group), Fraction(0)) / len(group) for group in groups]
    return max(averages) - min(averages)


def swapped(groups: Groups) -> Iterator[Groups]:
    """The teams after each swap of two people."""
    for here, there in combinations(range(len(groups)), 2):
        for one in range(len(groups[here])):
            for other in range(len(groups[there])):
                after = [list(group) for group in groups]
                after[here][one], after[there][other] = groups[there][other], groups[here][one]
                yield after


def extra(record: ClassRecord, round_: Round, groups: Groups) -> float:
    """By how much the meeting cost grows where a round has these teams; inf where a request is broken."""
    others = count_pairs(other for other in record.plan.rounds if other.key != round_.key)
    kept_apart = {request.pair for request in record.requests}

    def cost(teams: Groups) -> float:
        met = [tuple(sorted(pair)) for team in teams for pair in combinations(team, 2)]
        return float("inf") if kept_apart & set(met) else sum(others.get(pair, 0) for pair in met)

    return cost(groups) - cost([list(group.members) for group in round_.groups])


@pytest.mark.parametrize(("people", "teams", "lessons"), [(24, 8, 8), (26, 7, 6), (22, 5, 6), (28, 4, 4), (20, 4, 7)])
def test_no_swap_would_even_a_round_for_one_repeat(people: int, teams: int, lessons: int) -> None:
    """Threes, fours, sevens and two sizes: a round beyond the tolerance has no swap into it that costs one repeat."""
    record = planned(people, teams, lessons, seed=people)
    tolerance = Fraction(record.roster.span(STRAND)) / 8
    for round_ in record.plan.rounds:
        groups = [list(group.members) for group in round_.groups]
        if spread(record, groups) > tolerance:
            even = (after for after in swapped(groups) if spread(record, after) <= tolerance)
            assert all(extra(record, round_, after) > 1 for after in even), round_.key


def test_teams_of_seven_are_even_where_it_costs_nothing() -> None:
    """28 in four teams of seven: three sevenths are within half a step, four are not."""
    for seed in range(3):
        worst = fairness_of(planned(28, 4, 3, seed)).worst_spread
        assert worst is not None and worst.spread <= 3 / 7 + 1e-9


def test_teams_of_two_sizes_need_not_lie_about_the_class_average() -> None:
    """23 in fives of four and a three: all within half a step of one another, hardly anybody met twice."""
    fair = fairness_of(planned(23, 6, 4, seed=1))
    assert fair.worst_spread is not None and fair.worst_spread.spread <= 0.5
    assert fair.repeats == 0


def test_pairs_of_three_skills_are_even_and_new_for_as_long_as_paper_says() -> None:
    """Ten each of skill 1, 3 and 5: in an even round each 1 is with a 5 and the 3s are among themselves, who have nine
    rounds of new partners. So all nine are even without a repeat."""
    roster = roster_of(30, [1] * 10 + [3] * 10 + [5] * 10)
    record = plan_unit(record_of(roster, Activity("Game", "balanced", 2, strand=STRAND), lessons=9)).record
    fair = fairness_of(record)
    assert fair.worst_spread is not None and fair.worst_spread.spread == 0
    assert fair.repeats == 0
