"""By how much turns must differ, whatever the plan."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

from builders import STRAND, class_of, pairs, quick, record_of, roster_of, with_plan
from hypothesis import given
from hypothesis import strategies as st

from grouper.faces.wording.fairness import fairness_data, summary_lines
from grouper.model.unit import Activity
from grouper.planning.fairness import fairness_of
from grouper.planning.turns import least_range

FIVE = class_of(5, pairs(), lessons=2)
UNEVEN = with_plan(FIVE, "s01 s02 s03 | s04 s05", "s01 s02 s04 | s03 s05")


@given(
    had=st.lists(st.integers(0, 3), min_size=3, max_size=3),
    rounds=st.integers(0, 4),
    places=st.integers(1, 2),
    ours=st.integers(1, 3),
)
def test_no_way_to_give_out_turns_is_more_even(had: list[int], rounds: int, places: int, ours: int) -> None:
    """Of all ways to choose so many of three in each round, none has a smaller range, and one has this."""
    people = range(3)
    ranges = set()
    for chosen in product(list(combinations(people, places)), repeat=rounds):
        turns = [had[who] + sum(who in group for group in chosen) for who in people][:ours]
        ranges.add(max(turns) - min(turns))
    settled = {str(who): had[who] for who in people}
    found = least_range(settled, {str(who): rounds for who in people}, rounds * places, "012"[:ours])
    assert found == min(ranges)


def test_turns_stand_beside_their_bound() -> None:
    """Six turns for five: one each and one over; two, two, one, one, none is a turn more apart."""
    trio = fairness_of(UNEVEN).trio
    assert trio is not None
    assert (trio.fewest, trio.most, trio.range, trio.least_range) == (0, 2, 2, 1)
    told = list(summary_lines(UNEVEN, fairness_of(UNEVEN)))
    assert "  Trio            0 to 2 turns each; at best they could differ by 1" in told
    data = fairness_data(UNEVEN, fairness_of(UNEVEN))
    assert data["trio_range"] == {"fewest": 0, "most": 2, "range": 2, "range_bound": 1}
    assert data["coach_range"] is None


def test_what_has_been_taught_bounds_what_can_be() -> None:
    """With both lessons taught nothing is left to share out."""
    taught = replace(UNEVEN, taught=frozenset({1, 2}))
    trio = fairness_of(taught).trio
    assert trio is not None
    assert trio.least_range == 2


def test_turns_are_as_even_as_they_can_be_in_a_unit_of_many_rounds() -> None:
    """Fifteen, five rounds in pairs or as coaches in each of five lessons: 75 turns, five each, and nobody twice."""
    ratings = [1 + place % 5 for place in range(15)]
    parts = (pairs(2), Activity("Help", "coaching", size=2, rounds=3, strand=STRAND, min_gap=1, max_gap=3))
    fairness = fairness_of(quick(record_of(roster_of(15, ratings), *parts, lessons=5)))
    assert fairness.trio is not None
    assert fairness.coach is not None
    assert fairness.trio.range == fairness.trio.least_range
    assert fairness.coach.range == fairness.coach.least_range
    assert fairness.twice_in_a_lesson == 0
