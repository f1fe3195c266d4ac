"""Gap windows on the day: widened by as little as lets everybody have a partner, against every pairing there is."""

from __future__ import annotations

from builders import STRAND, record_of, roster_of
from hypothesis import assume, given
from hypothesis import strategies as st

from grouper.model.problem import problem_of
from grouper.model.unit import Activity
from grouper.planning.repair import loosened

CLOSE = 1e-9


def pairings(people: list[float]) -> list[list[float]]:
    """The gaps of every way to put people in pairs."""
    if not people:
        return [[]]
    first, *rest = people
    return [
        [abs(first - other), *gaps]
        for place, other in enumerate(rest)
        for gaps in pairings(rest[:place] + rest[place + 1 :])
    ]


@given(
    st.lists(st.integers(1, 9), min_size=4, max_size=6).filter(lambda ratings: len(ratings) % 2 == 0),
    st.integers(0, 6),
    st.integers(0, 4),
)
def test_a_window_is_widened_by_as_little_as_can_be(ratings: list[int], low: int, wide: int) -> None:
    """The least widening of all that let a pairing exist, both ends added up; where the window can be met it stays."""
    high = low + wide
    activity = Activity("Help", "coaching", 2, None, 1, None, STRAND, low, high)
    problem = problem_of(record_of(roster_of(len(ratings), ratings), activity))
    assume(max(ratings) > min(ratings))
    least = min(
        max(0.0, low - min(gaps)) + max(0.0, max(gaps) - high) for gaps in pairings([float(one) for one in ratings])
    )
    (spec,), remarks = loosened(problem)[0].rounds, loosened(problem)[1]
    if least == 0:
        assert remarks == () and spec.activity == activity
        return
    found = spec.activity
    assert found.min_gap is not None and found.max_gap is not None and len(remarks) == 1
    assert abs((low - found.min_gap) + (found.max_gap - high) - least) < CLOSE
